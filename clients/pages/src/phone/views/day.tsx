import { Link } from 'wouter-preact';
import { isToDoAtOnce, stateInWords, workInWords } from '../../kit/due/due-line.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { type Day, dayOf, type DayVehicle, todayIn, vehiclesOf, type Visit } from '../day/day.js';
import { keepLabels } from '../loading/labels.js';
import { keepVehicles, loadDue, loadVisits } from '../loading/load-vehicle.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { Age } from './parts/frame.js';
import { Search } from './parts/search.js';

/** As much as fits under a unit number on a small screen. */
const MOST_LINES = 3;

/** Who is to do a visit, as the reader would say it. */
const assigneeInWords = ({ id, name }: NonNullable<Visit['assignedTo']>): string =>
  id === who.value?.personId ? tell(message('phone-visit-yours')) : tell(message('phone-visit-of', { name }));

/** What is to be done on a vehicle, the worst first; its visit before what is due besides. */
function ToDo({ vehicle: { lines, visit }, today }: { vehicle: DayVehicle; today: string }) {
  const planned = visit?.lines.filter(({ state }) => state === 'open') ?? [];
  const isPlanned = new Set(planned.map(({ dueLineId }) => dueLineId));
  const work = [
    ...lines.filter(isToDoAtOnce).map((line) => ({ id: line.id, line, state: stateInWords(line) })),
    ...planned.map((line) => ({ id: line.dueLineId, line, state: null })),
    ...lines
      .filter((line) => !isToDoAtOnce(line) && !isPlanned.has(line.id))
      .map((line) => ({ id: line.id, line, state: stateInWords(line) })),
  ].filter(({ id }, index, all) => all.findIndex((other) => other.id === id) === index);
  const more = work.length - MOST_LINES;
  return (
    <>
      {visit !== null && (
        <span>
          {visit.day < today
            ? tell(message('phone-visit-missed', { day: dayInWords(visit.day) }))
            : tell(message('phone-visit-today', { hours: visit.hours }))}
        </span>
      )}
      {visit?.assignedTo != null && <span>{assigneeInWords(visit.assignedTo)}</span>}
      {work.slice(0, MOST_LINES).map(({ id, line, state }) => (
        <span key={id} class={'causes' in line && isToDoAtOnce(line) ? 'at-once' : undefined}>
          {workInWords(line)}
          {state !== null && ` · ${state}`}
        </span>
      ))}
      {more > 0 && <span class="faint">{tell(message('phone-more-lines', { count: more }))}</span>}
    </>
  );
}

function Vehicles({
  name,
  vehicles,
  today,
}: {
  name: string;
  vehicles: readonly DayVehicle[];
  today: string;
}) {
  if (vehicles.length === 0) return null;
  return (
    <section>
      <h2>{name}</h2>
      <ul class="vehicles">
        {vehicles.map((vehicle) => (
          <li key={vehicle.id}>
            <Link href={`/v/${vehicle.id}`} class="button vehicle">
              <span class="unit">{vehicle.unitNumber}</span>
              <ToDo vehicle={vehicle} today={today} />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Days({ day, today }: { day: Day; today: string }) {
  if (vehiclesOf(day).length === 0) return <p role="status">{tell(message('phone-none-due'))}</p>;
  return (
    <>
      <Vehicles name={tell(message('phone-day-at-once'))} vehicles={day.atOnce} today={today} />
      <Vehicles name={tell(message('phone-day-planned'))} vehicles={day.planned} today={today} />
      <Vehicles name={tell(message('phone-due'))} vehicles={day.due} today={today} />
    </>
  );
}

/** Keeps for a time without a network what the day may need, in the order of the day. */
async function keepForLater(person: string, day: Day): Promise<void> {
  await keepVehicles(
    person,
    vehiclesOf(day).map(({ id }) => id),
  );
  await keepLabels(person).catch(() => undefined);
}

async function load(person: string, today: string, me: string | null) {
  const [due, visits] = await Promise.all([loadDue(person), loadVisits(person)]);
  const day = dayOf(due.value, visits.value, today, me);
  const older = due.at < visits.at ? due : visits;
  if (!due.isOld && !visits.isOld) void keepForLater(person, day);
  return { due: due.value, day, at: older.at, isOld: due.isOld || visits.isOld };
}

/** The first screen: a vehicle by its label or its number, and the work of the day. */
export function MyDay() {
  const person = who.value?.key ?? '';
  const today = todayIn(who.value?.timeZone ?? 'UTC');
  const me = who.value?.personId ?? null;
  const { state, reload } = useLoaded(() => load(person, today, me), [person, today, me]);
  return (
    <>
      <Heading>{tell(message('phone-my-day'))}</Heading>
      <Link href="/scan" class="button main">
        {tell(message('phone-scan'))}
      </Link>
      <Shown state={state} again={reload}>
        {({ due, day, at, isOld }) => (
          <>
            <Age at={at} isOld={isOld} />
            <Search due={due}>
              <Days day={day} today={today} />
            </Search>
          </>
        )}
      </Shown>
    </>
  );
}
