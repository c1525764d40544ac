import { useSignal } from '@preact/signals';
import { ProblemError } from '../../../../typescript/src/faults.js';
import { Field } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { Choice } from '../choice.js';
import { message } from './messages.js';

export const NAMES = ['plannedCost', 'failureCost', 'duty', 'by', 'item'] as const;
export type Values = Record<(typeof NAMES)[number], string>;

/** What the service says of a part of the question. */
function faultsOf(problem: unknown, name: string): string[] {
  if (!(problem instanceof ProblemError)) return [];
  const errors = problem.problem.errors ?? [];
  return errors.flatMap((error) => ('parameter' in error && error.parameter === name ? [error.detail] : []));
}

const COSTS = [
  ['plannedCost', 'desk-advice-planned-cost'],
  ['failureCost', 'desk-advice-failure-cost'],
] as const;

/** For whom, and by which counter. */
function Choices({ values, onAsk }: { values: Values; onAsk: (values: Partial<Values>) => void }) {
  return (
    <>
      <Choice
        label={tell(message('desk-advice-duty'))}
        choices={[
          { value: '', text: tell(message('desk-advice-duty-all')) },
          ...(['normal', 'severe'] as const).map((duty) => ({
            ...{ value: duty, text: tell(message('desk-advice-duty-one', { duty })) },
          })),
        ]}
        value={values.duty}
        onChoose={(duty) => onAsk({ duty })}
      />
      <Choice
        label={tell(message('desk-advice-by'))}
        choices={[
          { value: '', text: tell(message('desk-advice-by-distance')) },
          { value: 'engine-hours', text: tell(message('desk-advice-by-hours')) },
        ]}
        value={values.by}
        onChoose={(by) => onAsk({ by })}
      />
    </>
  );
}

/** What the service is asked: costs, duty and counter. */
export function Question({
  values,
  problem,
  onAsk,
}: {
  values: Values;
  problem: unknown;
  onAsk: (values: Partial<Values>) => void;
}) {
  const typed = {
    plannedCost: useSignal(values.plannedCost),
    failureCost: useSignal(values.failureCost),
  };
  const submit = (event: Event): void => {
    event.preventDefault();
    onAsk({ plannedCost: typed.plannedCost.value.trim(), failureCost: typed.failureCost.value.trim() });
  };
  return (
    <form class="question" noValidate aria-label={tell(message('desk-advice-question'))} onSubmit={submit}>
      {COSTS.map(([name, code]) => (
        <Field key={name} label={tell(message(code))} faults={faultsOf(problem, name)}>
          {(about) => (
            <input
              {...about}
              inputMode="decimal"
              autocomplete="off"
              value={typed[name]}
              onInput={({ currentTarget: { value } }) => (typed[name].value = value)}
            />
          )}
        </Field>
      ))}
      <Choices {...{ values, onAsk }} />
      <button type="submit">{tell(message('desk-advice-ask-now'))}</button>
      <p class="faint">{tell(message('desk-advice-costs-help'))}</p>
    </form>
  );
}
