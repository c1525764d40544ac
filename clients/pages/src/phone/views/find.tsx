import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { isToDoAtOnce, stateInWords, workInWords } from '../../kit/due/due-line.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import {
  type DueLines,
  findVehicles,
  type FoundVehicle,
  keepVehicles,
  loadDue,
} from '../loading/load-vehicle.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { Age } from './parts/frame.js';
import { NoAnswerError } from '../../../../typescript/src/client.js';

/** The vehicles of the due list, in its order, each with its worst line. */
function vehiclesDue(lines: DueLines): { vehicle: FoundVehicle; lines: DueLines }[] {
  const byId = new Map<string, { vehicle: FoundVehicle; lines: DueLines }>();
  for (const line of lines) {
    const known = byId.get(line.vehicle.id) ?? { vehicle: line.vehicle, lines: [] };
    known.lines.push(line);
    byId.set(line.vehicle.id, known);
  }
  return [...byId.values()];
}

function VehicleLink({ vehicle, lines }: { vehicle: FoundVehicle; lines: DueLines }) {
  const [worst] = lines;
  return (
    <li>
      <Link href={`/v/${vehicle.id}`} class="button vehicle">
        <span class="unit">{vehicle.unitNumber}</span>
        {worst && (
          <span class={isToDoAtOnce(worst) ? 'at-once' : undefined}>
            {workInWords(worst)} · {stateInWords(worst)}
          </span>
        )}
      </Link>
    </li>
  );
}

const contains = (unitNumber: string, typed: string): boolean =>
  unitNumber.toLowerCase().includes(typed.toLowerCase());

/** Finds a vehicle as its number is typed. */
function useFound(typed: string, due: DueLines) {
  const found = useSignal<readonly FoundVehicle[]>([]);
  useEffect(() => {
    const wanted = typed.trim();
    let isOver = false;
    const near = vehiclesDue(due)
      .map(({ vehicle }) => vehicle)
      .filter(({ unitNumber }) => contains(unitNumber, wanted));
    found.value = wanted === '' ? [] : near;
    const ask = async (): Promise<void> => {
      try {
        const answered = await findVehicles(wanted);
        if (!isOver) found.value = answered;
      } catch (fault) {
        // Without a network, what is near is all there is.
        if (!(fault instanceof NoAnswerError)) throw fault;
      }
    };
    const timer = wanted === '' ? undefined : setTimeout(() => void ask(), TYPING_MS);
    return () => {
      isOver = true;
      clearTimeout(timer);
    };
  }, [typed, due]);
  return found;
}

const TYPING_MS = 250;

function Search({ due }: { due: DueLines }) {
  const typed = useSignal('');
  const found = useFound(typed.value, due);
  const isAsked = typed.value.trim() !== '';
  const vehicles = isAsked
    ? found.value.map((vehicle) => ({
        vehicle,
        lines: due.filter((line) => line.vehicle.id === vehicle.id),
      }))
    : vehiclesDue(due);
  return (
    <>
      <label for="unit-number">{tell(message('phone-unit-number'))}</label>
      <input
        id="unit-number"
        type="search"
        autocomplete="off"
        autocapitalize="characters"
        enterkeyhint="search"
        value={typed}
        onInput={({ currentTarget }) => (typed.value = currentTarget.value)}
      />
      <h2>{tell(message(isAsked ? 'phone-found' : 'phone-due'))}</h2>
      {vehicles.length === 0 && (
        <p role="status">{tell(message(isAsked ? 'phone-none-found' : 'phone-none-due'))}</p>
      )}
      <ul class="vehicles">
        {vehicles.map(({ vehicle, lines }) => (
          <VehicleLink key={vehicle.id} vehicle={vehicle} lines={lines} />
        ))}
      </ul>
    </>
  );
}

/** The first screen: a vehicle by its number, or from what is due. */
export function Find() {
  const person = who.value?.key ?? '';
  const { state, reload } = useLoaded(async () => {
    const due = await loadDue(person);
    if (!due.isOld) void keepVehicles(person, due.value);
    return due;
  }, [person]);
  return (
    <>
      <Heading>{tell(message('phone-vehicles'))}</Heading>
      <Shown state={state} again={reload}>
        {({ value, at, isOld }) => (
          <>
            <Age at={at} isOld={isOld} />
            <Search due={value} />
          </>
        )}
      </Shown>
    </>
  );
}
