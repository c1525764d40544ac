import { type Signal, useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { message } from './messages.js';

type Depot = components['schemas']['DepotView'];
type DepotInput = Pick<Depot, 'name' | 'elevation' | 'designLowTemperature'>;
type Units = 'us' | 'si';

const POINTERS = ['/name', '/elevation', '/designLowTemperature'];
const unitsOf = (units: Units) =>
  units === 'us' ? ({ height: 'ft', cold: 'F' } as const) : ({ height: 'm', cold: 'C' } as const);

/** What was typed as a quantity; null when nothing was. */
function quantity<U extends string>(typed: string, unit: U): { value: number; unit: U } | null {
  return typed.trim() === '' ? null : { value: Number(typed), unit };
}

const typedOf = (given: { value?: number } | null | undefined): string => String(given?.value ?? '');

function NumberField({
  label,
  faults,
  typed,
}: {
  label: string;
  faults: readonly string[];
  typed: Signal<string>;
}) {
  return (
    <Field label={label} faults={faults}>
      {(field) => (
        <input
          {...field}
          type="number"
          step="any"
          value={typed}
          onInput={(e) => (typed.value = e.currentTarget.value)}
        />
      )}
    </Field>
  );
}

/**
 * Asks for the name of a depot, how high it lies, and how cold its winters are.
 *
 * @param given as the service has it; its quantities are in the units of the reader
 */
export function DepotForm({
  given,
  units,
  way,
  onGiven,
}: {
  given: Depot | null;
  units: Units;
  way: string;
  onGiven: (input: DepotInput) => Promise<void>;
}) {
  const name = useSignal(given?.name ?? '');
  const elevation = useSignal(typedOf(given?.elevation));
  const cold = useSignal(typedOf(given?.designLowTemperature));
  const { problem, isBusy, act } = useActing();
  const { height, cold: degrees } = unitsOf(units);
  const problems = [problem.value];
  const submit = (event: Event): void => {
    event.preventDefault();
    const designLowTemperature = quantity(cold.value, degrees);
    void act(() =>
      onGiven({ name: name.value, elevation: quantity(elevation.value, height), designLowTemperature }),
    );
  };
  const about = (pointer: string) =>
    problems.flatMap(() => [...faultsOf(problems, pointer), ...faultsOf(problems, `${pointer}/value`)]);
  const isOfField = POINTERS.some((pointer) => about(pointer).length > 0);
  return (
    <form noValidate onSubmit={submit}>
      <Field label={tell(message('desk-depot-name'))} faults={about('/name')}>
        {(field) => <input {...field} value={name} onInput={(e) => (name.value = e.currentTarget.value)} />}
      </Field>
      <NumberField
        label={tell(message('desk-depot-elevation', { unit: height }))}
        faults={about('/elevation')}
        typed={elevation}
      />
      <NumberField
        label={tell(message('desk-depot-cold', { unit: degrees }))}
        faults={about('/designLowTemperature')}
        typed={cold}
      />
      {problem.value !== null && !isOfField && <Fault problem={problem.value} />}
      <button type="submit" disabled={isBusy}>
        {way}
      </button>
    </form>
  );
}
