import { useSignal } from '@preact/signals';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from '../settings/acting.js';
import { message } from './messages.js';

/** Takes ready-made sets: each makes a spec sheet and an interval plan. */
export function StarterSets({ onTaken }: { onTaken: () => void }) {
  const chosen = useSignal<readonly string[]>([]);
  const { problem, isBusy, act } = useActing();
  const { state, reload } = useLoaded(
    async (client, signal) => (await client.get('/v1/starter-sets', { signal })).data.items,
    [],
  );
  const turn = (set: string, isOn: boolean): void => {
    const others = chosen.value.filter((one) => one !== set);
    chosen.value = isOn ? [...others, set] : others;
  };
  return (
    <Shown state={state} again={reload}>
      {(sets) => (
        <fieldset>
          <legend>{tell(message('desk-sets'))}</legend>
          <p>{tell(message('desk-sets-about'))}</p>
          {sets.map(({ set, name, purpose }) => (
            <div key={set}>
              <label class="check">
                <input
                  type="checkbox"
                  checked={chosen.value.includes(set)}
                  onChange={({ currentTarget }) => turn(set, currentTarget.checked)}
                />
                {name.text}
              </label>
              <p class="faint">{purpose.text}</p>
            </div>
          ))}
          {problem.value !== null && <Fault problem={problem.value} />}
          <button
            type="button"
            disabled={isBusy.value || chosen.value.length === 0}
            onClick={() =>
              void act(async () => {
                const wanted = sets.flatMap(({ set }) => (chosen.value.includes(set) ? [{ set }] : []));
                await service().post('/v1/starter-sets', { body: { sets: wanted } });
                chosen.value = [];
                onTaken();
              })
            }
          >
            {tell(message('desk-sets-take', { count: chosen.value.length }))}
          </button>
        </fieldset>
      )}
    </Shown>
  );
}
