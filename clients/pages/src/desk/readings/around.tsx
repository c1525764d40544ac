import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { quantitiesInWords } from '../quantities.js';
import { message } from './messages.js';
import type { UsageReading } from './words.js';

/** The most that is looked through to find a reading among its neighbours. */
const MOST = 200;
/** So many before it and as many after it. */
const NEIGHBOURS = 2;

/** The readings of the vehicle just before and after one, and their states. */
export function Around({ reading, timeZone }: { reading: UsageReading; timeZone: string }) {
  const { id, vehicleId } = reading;
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const path = { id: vehicleId };
      const { data } = await client.get('/v1/vehicles/{id}/usage', {
        ...{ path, query: { limit: String(MOST) }, signal },
      });
      const { items } = data.readings;
      const at = items.findIndex((one) => one.id === id);
      // An old one is not among the latest; the latest are shown then.
      return at < 0
        ? [reading, ...items.slice(0, NEIGHBOURS)]
        : items.slice(Math.max(0, at - NEIGHBOURS), at + NEIGHBOURS + 1);
    },
    [id],
  );
  return (
    <Shown state={state} again={reload}>
      {(items) => (
        <table class="around">
          <thead>
            <tr>
              <th scope="col">{tell(message('desk-readings-when'))}</th>
              <th scope="col">{tell(message('desk-readings-counters'))}</th>
              <th scope="col">{tell(message('desk-readings-state'))}</th>
            </tr>
          </thead>
          <tbody>
            {items.map((one) => (
              <tr key={one.id} class={one.id === id ? 'this' : undefined}>
                <td>{momentInWords(one.readAt, timeZone)}</td>
                <td>{quantitiesInWords([one.odometer, one.engineHours])}</td>
                <td>
                  {tell(message(`desk-readings-state-${one.status}`))}
                  {one.id === id && ` ${tell(message('desk-readings-this'))}`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </Shown>
  );
}
