import type { ComponentChildren } from 'preact';
import type { components } from '../../../../typescript/src/client.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { daysOf } from './weeks.js';

export type Depot = components['schemas']['DepotView'];

/** What a calendar needs to know of a visit, booked or planned. */
export interface Placed {
  id: string;
  depotId: string;
  day: string;
  hours: number;
  dropped?: boolean;
}

interface Calendar<V extends Placed> {
  visits: readonly V[];
  depots: readonly Depot[];
  show: (visit: V) => ComponentChildren;
  /** What is under a day's visits. */
  under?: (depotId: string, day: string) => ComponentChildren;
  /** Called with a visit that was dragged to a day of its depot. */
  onMove?: (id: string, day: string) => void;
}

const KIND = 'text/plain';
/** Hours are planned to the minute; a tenth is what a foreman says. */
const tenths = (hours: number): number => Math.round(hours * 10) / 10;

function hoursInWords(used: number, all: number | null | undefined): string {
  return all == null
    ? tell(message('desk-visits-hours', { used: tenths(used) }))
    : tell(message('desk-visits-hours-of', { used: tenths(used), all: tenths(all) }));
}

function Day<V extends Placed>({
  depot,
  day,
  calendar: { visits, show, under, onMove },
}: {
  depot: Depot;
  day: string;
  calendar: Calendar<V>;
}) {
  const here = visits.filter((visit) => visit.depotId === depot.id && visit.day === day);
  const used = here.reduce((sum, { hours, dropped }) => sum + (dropped ? 0 : hours), 0);
  return (
    <td
      data-day={day}
      onDragOver={(event) => onMove && event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        const id = event.dataTransfer?.getData(KIND);
        if (visits.some((visit) => visit.id === id && visit.depotId === depot.id)) onMove?.(id ?? '', day);
      }}
    >
      <p class="on">{dayInWords(day)}</p>
      {here.length > 0 && (
        <>
          <p class="hours">{hoursInWords(used, depot.labourHoursPerDay)}</p>
          <ul>
            {here.map((visit) => (
              <li
                key={visit.id}
                draggable={onMove !== undefined}
                onDragStart={(event) => event.dataTransfer?.setData(KIND, visit.id)}
              >
                {show(visit)}
              </li>
            ))}
          </ul>
          {under?.(depot.id, day)}
        </>
      )}
    </td>
  );
}

/** A week: a row for each depot, a column for each day, and the hours of labour that are taken. */
export function Week<V extends Placed>({
  monday,
  ...calendar
}: Calendar<V> & {
  monday: string;
}) {
  const days = daysOf(monday);
  const inWeek = calendar.visits.filter(({ day }) => days.includes(day));
  const here = calendar.depots.filter(({ id }) => inWeek.some(({ depotId }) => depotId === id));
  if (here.length === 0) return null;
  return (
    <section class="week">
      <h2>{tell(message('desk-visits-week', { on: dayInWords(monday) }))}</h2>
      <table>
        <tbody>
          {here.map((depot) => (
            <tr key={depot.id}>
              <th scope="row">{depot.name}</th>
              {days.map((day) => (
                <Day key={day} {...{ depot, day, calendar }} />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
