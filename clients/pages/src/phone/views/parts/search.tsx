import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { NoAnswerError } from '../../../../../typescript/src/client.js';
import { isToDoAtOnce, stateInWords, workInWords } from '../../../kit/due/due-line.js';
import { tell } from '../../../kit/texts/tell.js';
import { type DueLines, findVehicles, type FoundVehicle, keptDue } from '../../loading/load-vehicle.js';
import { who } from '../../signed-in/who.js';
import { message } from '../../words/messages.js';

/** The vehicles of the due list, in its order, each with its lines. */
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

/**
 * A vehicle by its number.
 *
 * @param due where to look without a network
 * @param children what is shown until a number is typed
 */
export function Search({ due, children }: { due: DueLines; children?: ComponentChildren }) {
  const typed = useSignal('');
  const found = useFound(typed.value, due);
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
      {typed.value.trim() === '' ? children : <Found vehicles={found.value} due={due} />}
    </>
  );
}

function Found({ vehicles, due }: { vehicles: readonly FoundVehicle[]; due: DueLines }) {
  return (
    <>
      <h2>{tell(message('phone-found'))}</h2>
      {vehicles.length === 0 && <p role="status">{tell(message('phone-none-found'))}</p>}
      <ul class="vehicles">
        {vehicles.map((vehicle) => (
          <VehicleLink
            key={vehicle.id}
            vehicle={vehicle}
            lines={due.filter((line) => line.vehicle.id === vehicle.id)}
          />
        ))}
      </ul>
    </>
  );
}

/** The same, beside something else: looks among what the phone has kept, too. */
export function TypedNumber() {
  const due = useSignal<DueLines>([]);
  useEffect(() => {
    keptDue(who.peek()?.key ?? '').then(
      (kept) => (due.value = kept),
      () => undefined,
    );
  }, []);
  return <Search due={due.value} />;
}
