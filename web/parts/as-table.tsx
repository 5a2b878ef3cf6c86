/** Leads to a whole list as a table for other programs. @param list its path, such as `units` */
export function AsTable({ list, words = 'The whole list as a table (CSV)' }: { list: string; words?: string }) {
  return (
    <p class="quiet">
      <a href={`/${list}.csv`} download>
        {words}
      </a>
    </p>
  )
}
