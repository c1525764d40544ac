import { axisAround, Hatching, Ruler } from '../../kit/due/strip.js';
import { mayManage } from '../../kit/service/me.js';
import { reader, tell } from '../../kit/texts/tell.js';
import { Row } from './due-row.js';
import type { DueLines } from './due-lines.js';
import type { Group } from './grouped.js';
import { message } from './messages.js';
import type { Selection } from './selection.js';

const COLUMNS = ['unit', 'work', 'state', 'due-on', 'weeks', 'why'] as const;

function Head({
  axis,
  ids,
  selection,
}: {
  axis: ReturnType<typeof axisAround>;
  ids: number;
  selection: Selection;
}) {
  const chosen = selection.selected.value.size;
  return (
    <thead>
      <tr>
        <td class="pick">
          {mayManage() && (
            <input
              type="checkbox"
              aria-label={tell(message('desk-due-select-all'))}
              checked={ids > 0 && chosen >= ids}
              indeterminate={chosen > 0 && chosen < ids}
              onChange={({ currentTarget }) => selection.all(currentTarget.checked)}
            />
          )}
        </td>
        {COLUMNS.map((column) => (
          <th key={column} scope="col" class={column}>
            {column === 'weeks' && <Ruler axis={axis} />}
            <span class={column === 'weeks' ? 'unseen' : undefined}>
              {tell(message(`desk-column-${column}`))}
            </span>
          </th>
        ))}
      </tr>
    </thead>
  );
}

/** The due list as a dense table: a line of it is a line on the screen. */
export function DueTable({
  shown: { asOf },
  groups,
  changed,
  selection,
}: {
  shown: DueLines;
  groups: readonly Group[];
  changed: ReadonlySet<string>;
  selection: Selection;
}) {
  const axis = axisAround(asOf);
  const lines = groups.flatMap((group) => group.lines);
  const active = lines.find(({ id }) => id === selection.active.value) ?? lines[0];
  return (
    <>
      <Hatching />
      <table class="due" onKeyDown={selection.keys}>
        <caption class="unseen">{tell(message('desk-due'))}</caption>
        <Head axis={axis} ids={lines.length} selection={selection} />
        {groups.map(({ key, name, lines: ofGroup }) => (
          <tbody key={key}>
            {name !== null && (
              <tr class="group">
                <th colSpan={7} scope="rowgroup">
                  {tell(message('desk-due-of-group', { name, count: ofGroup.length }))}
                </th>
              </tr>
            )}
            {ofGroup.map((line) => (
              <Row
                key={line.id}
                {...{ line, axis, language: reader.value.language, onTouch: selection.touch }}
                isSelected={selection.selected.value.has(line.id)}
                isActive={line === active}
                isChanged={changed.has(line.id)}
              />
            ))}
          </tbody>
        ))}
      </table>
    </>
  );
}
