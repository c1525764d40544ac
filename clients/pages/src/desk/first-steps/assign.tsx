import { useSignal } from '@preact/signals';
import { Fault } from '../../kit/parts/fault.js';
import { problemInWords } from '../../kit/parts/field.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from '../settings/acting.js';
import { message } from './messages.js';

const MOST = 200;
/** Requests under way at the same time. */
const AT_A_TIME = 4;

interface Outcome {
  done: number;
  refused: { unit: string; why: string }[];
}

/** Gives a sheet or a plan to every vehicle that has none. */
async function assignAll(without: 'sheet' | 'plan', id: string): Promise<Outcome> {
  const client = service();
  const body = without === 'sheet' ? { specSheetId: id } : { intervalPlanId: id };
  const outcome: Outcome = { done: 0, refused: [] };
  // The list is read to its end before it changes.
  const waiting: { id: string; unitNumber: string }[] = [];
  for await (const { status, ...vehicle } of client.items('/v1/vehicles', { query: { without } }))
    if (status !== 'disposed') waiting.push(vehicle);
  const work = async (): Promise<void> => {
    for (let vehicle = waiting.shift(); vehicle !== undefined; vehicle = waiting.shift())
      try {
        await client.patch('/v1/vehicles/{id}', { path: { id: vehicle.id }, body });
        outcome.done++;
      } catch (problem) {
        outcome.refused.push({ unit: vehicle.unitNumber, why: problemInWords(problem) });
      }
  };
  await Promise.all(Array.from({ length: AT_A_TIME }, work));
  return outcome;
}

function Outcomes({ done, refused }: Outcome) {
  return (
    <>
      <p>{tell(message('desk-assigned', { count: done }))}</p>
      <ul class="dots">
        {refused.map((one) => (
          <li key={one.unit}>{tell(message('desk-not-assigned', one))}</li>
        ))}
      </ul>
    </>
  );
}

/** The sheets or plans of the fleet. */
function useKept(what: 'sheet' | 'plan', turn: number) {
  return useLoaded(
    async (client, signal) => {
      const request = { query: { limit: String(MOST) }, signal };
      return what === 'sheet'
        ? (await client.get('/v1/spec-sheets', request)).data.items.map(({ id, name }) => ({ id, name }))
        : (await client.get('/v1/interval-plans', request)).data.items.map(({ id, name }) => ({ id, name }));
    },
    [what, turn],
  );
}

/**
 * Gives a spec sheet or an interval plan to all vehicles without one.
 *
 * @param turn changes when there may be more sheets or plans
 */
export function Assign({ what, turn, onDone }: { what: 'sheet' | 'plan'; turn: number; onDone: () => void }) {
  const chosen = useSignal('');
  const outcome = useSignal<Outcome | null>(null);
  const { problem, isBusy, act } = useActing();
  const { state, reload } = useKept(what, turn);
  const assign = async (): Promise<void> => {
    outcome.value = await assignAll(what, chosen.value);
    onDone();
  };
  return (
    <Shown state={state} again={reload}>
      {(all) =>
        all.length === 0 ? (
          <p>{tell(message('desk-assign-none'))}</p>
        ) : (
          <>
            <label class="assign">
              <span>{tell(message(`desk-assign-${what}`))}</span>
              <select value={chosen} onChange={(e) => (chosen.value = e.currentTarget.value)}>
                <option value="">–</option>
                {all.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
            <p class="faint">{tell(message('desk-assign-about'))}</p>
            {problem.value !== null && <Fault problem={problem.value} />}
            <button
              type="button"
              disabled={isBusy.value || chosen.value === ''}
              onClick={() => void act(assign)}
            >
              {tell(message('desk-assign'))}
            </button>
            <div role="status">{outcome.value !== null && <Outcomes {...outcome.value} />}</div>
          </>
        )
      }
    </Shown>
  );
}
