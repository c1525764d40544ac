import {
  type DueLine,
  dueDayInWords,
  isToDoAtOnce,
  stateInWords,
  workInWords,
} from '../../kit/due/due-line.js';
import { Heading } from '../../kit/parts/shell.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from '../messages.js';

const MOST = 200;

function Row({ line }: { line: DueLine }) {
  return (
    <tr class={isToDoAtOnce(line) ? 'at-once' : line.state}>
      <th scope="row" class="unit">
        {line.vehicle.unitNumber}
      </th>
      <td>{workInWords(line)}</td>
      <td class="state">{stateInWords(line)}</td>
      <td>{dueDayInWords(line)}</td>
      <td>{line.causes.map(({ text }) => text).join(' ')}</td>
    </tr>
  );
}

/** The due list as a dense table, the worst first. */
export function Due() {
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/due-list', { query: { limit: String(MOST) }, signal })).data,
    [],
  );
  const columns = ['unit', 'work', 'state', 'due-on', 'why'] as const;
  return (
    <>
      <Heading>{tell(message('desk-due'))}</Heading>
      <Shown state={state} again={reload}>
        {({ items }) =>
          items.length === 0 ? (
            <p>{tell(message('desk-due-none'))}</p>
          ) : (
            <table class="due">
              <thead>
                <tr>
                  {columns.map((column) => (
                    <th key={column} scope="col">
                      {tell(message(`desk-column-${column}`))}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {items.map((line) => (
                  <Row key={line.id} line={line} />
                ))}
              </tbody>
            </table>
          )
        }
      </Shown>
    </>
  );
}
