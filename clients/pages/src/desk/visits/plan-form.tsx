import { useSignal } from '@preact/signals';
import { useLocation } from 'wouter-preact';
import { addDays } from '../../../../../src/domain/calendar/civil-date.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { message } from './messages.js';

const WEEKS_AHEAD = 4;

const FIELDS = [
  ['from', 'desk-plan-from'],
  ['to', 'desk-plan-to'],
  ['labourRate', 'desk-plan-labour'],
  ['downtimeCostPerDay', 'desk-plan-downtime'],
  ['latenessCostPerDay', 'desk-plan-lateness'],
] as const;

type Typed = Record<(typeof FIELDS)[number][0], string>;

/** An empty field is left to the service, which says that it is missing. */
const amount = (text: string): number => (text.trim() === '' ? Number.NaN : Number(text));

/** Asks for a plan: its weeks, and what an hour, a day out of work and a day late cost. */
export function PlanForm({ today, onClose }: { today: string; onClose: () => void }) {
  const [, go] = useLocation();
  const typed = useSignal<Typed>({
    ...{ from: today, to: addDays(today, WEEKS_AHEAD * 7 - 1) },
    ...{ labourRate: '', downtimeCostPerDay: '', latenessCostPerDay: '' },
  });
  const { problem, isBusy, act } = useActing();
  const ask = (): Promise<void> =>
    act(async () => {
      const { from, to, ...costs } = typed.value;
      const { data } = await service().post('/v1/visit-plans', {
        body: {
          ...{ from, to, labourRate: amount(costs.labourRate) },
          downtimeCostPerDay: amount(costs.downtimeCostPerDay),
          latenessCostPerDay: amount(costs.latenessCostPerDay),
        },
      });
      go(`/visits/plans/${data.id}`);
    });
  return (
    <Dialog title={tell(message('desk-plan-make'))} onClose={onClose}>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void ask();
        }}
      >
        <p class="faint">{tell(message('desk-plan-about'))}</p>
        {FIELDS.map(([name, label]) => (
          <Field key={name} label={tell(message(label))} faults={faultsOf([problem.value], `/${name}`)}>
            {(about) => (
              <input
                {...about}
                {...(name === 'from' || name === 'to' ? { type: 'date' } : { inputMode: 'decimal' })}
                value={typed.value[name]}
                onInput={(e) => (typed.value = { ...typed.value, [name]: e.currentTarget.value })}
              />
            )}
          </Field>
        ))}
        {problem.value !== null && <Fault problem={problem.value} />}
        <button type="submit" disabled={isBusy}>
          {tell(message('desk-plan-ask'))}
        </button>
      </form>
    </Dialog>
  );
}
