/** The usual short caution of the trade, for pages that lead to the machine; the resin's own sheet knows more. */
export function Caution() {
  return (
    <aside class="caution" aria-label="Caution">
      <p>
        <strong>Mind yourself.</strong> Uncured resin irritates the skin and can make it allergic for good; cleaning
        alcohol burns; fumes need moving air. Wear nitrile gloves and eye protection, keep flames and children away, and
        cure leftovers and wipes before they are waste. What your resin's safety data sheet and your local waste rules
        say goes before anything said here.
      </p>
    </aside>
  )
}

/** The same in one line, for the foot of every page. */
export function CautionLine() {
  return (
    <p class="caution-line">
      Uncured resin irritates and sensitises skin, alcohol burns, fumes need air: gloves on, window open. The safety
      data sheet of your resin and local waste rules come first.
    </p>
  )
}
