import { Caution } from '../parts/caution.tsx'
import { Section } from '../parts/section.tsx'

/** What to mind at the machine, at more length than on other pages; the sheet that comes with the resin knows more. */
export function HelpCautions() {
  return (
    <Section heading="Working with resin" id="cautions">
      <Caution />
      <p>
        This is common practice (no source), not advice for your bottle or your room. Before you open a resin or a
        cleaner, read its <strong>safety data sheet</strong>: the maker has to give it to you. What it says, what your
        doctor says, and what is law where you live go before every line here.
      </p>
      <h3>Skin and eyes</h3>
      <ul>
        <li>
          Uncured resin irritates. It can also make the skin allergic, often after months without trouble, and that does
          not go away again. So no bare hands, from the first bottle on.
        </li>
        <li>
          Wear nitrile gloves and change them as soon as they are splashed; touch no phone, door or face with them. Wear
          glasses that close at the sides, and long sleeves.
        </li>
        <li>
          On the skin: take it off with a cloth, wash with soap and plenty of water. Alcohol would carry it further in.
        </li>
        <li>
          In the eye: rinse with running water for many minutes and get medical help, with the data sheet at hand.
        </li>
        <li>A rash, or breath that gets short: stop, and see a doctor before you go on.</li>
      </ul>
      <h3>Air</h3>
      <ul>
        <li>
          Print, wash and cure where air moves out of the building; not where people sleep, cook or eat, and not beside
          animals. A room that smells of resin has too little air.
        </li>
        <li>Whether a mask helps, and which, the data sheet says. One for dust holds back no vapour.</li>
        <li>Sanding makes dust of cured resin: sand wet, or with a dust mask, and wipe up afterwards.</li>
      </ul>
      <h3>Alcohol and other cleaners</h3>
      <ul>
        <li>
          Alcohol burns, and its vapour catches fire at a distance. No flame, cigarette, heater or sparking tool near
          it; lids on; as little in the room as you need today.
        </li>
        <li>Never heat it, and put none into a machine that its maker did not build for it.</li>
        <li>
          Water-washable resin is as harmful as any other while it is uncured, and so is the water that it was washed
          in.
        </li>
      </ul>
      <h3>Light</h3>
      <ul>
        <li>Don't look into a curing lamp, and keep its cover shut: its light harms eyes and skin.</li>
      </ul>
      <h3>Waste</h3>
      <ul>
        <li>Nothing down the drain, no resin, no alcohol, no washing water: it harms what lives in the water.</li>
        <li>
          Cure what is left on wipes, gloves, paper and failed copies in the sun or under the lamp until it is hard all
          through, before it is waste.
        </li>
        <li>
          Liquid resin and used cleaners are hazardous waste in many places: ask your waste service where to bring them,
          and keep them closed and labelled until then. Local rules decide, also about what is cured.
        </li>
      </ul>
      <h3>Others in the house</h3>
      <ul>
        <li>
          Out of reach of children and animals, in its own bottle, never in one for drinks. Know where the data sheet
          is.
        </li>
      </ul>
    </Section>
  )
}
