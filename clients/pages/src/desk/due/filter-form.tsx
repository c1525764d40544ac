import { useEffect, useRef } from 'preact/hooks';
import type { components } from '../../../../typescript/src/client.js';
import { Mark } from '../../kit/due/strip.js';
import { COMPONENTS, componentInWords, DUE_STATES, type DueState } from '../../kit/due/due-line.js';
import { locale, tell } from '../../kit/texts/tell.js';
import type { Filters } from './filters.js';
import { GROUPINGS } from './filters.js';
import { message } from './messages.js';

export type Summary = components['schemas']['DueListSummary'];
export type Depot = components['schemas']['DepotView'];

const TYPING_MS = 300;

interface Choice {
  value: string;
  text: string;
}

function Select({
  label,
  choices,
  value,
  onChoose,
}: {
  label: string;
  choices: readonly Choice[];
  value: string;
  onChoose: (value: string) => void;
}) {
  return (
    <label>
      <span>{label}</span>
      <select value={value} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.text}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Part of a unit number, taken after a pause in typing. */
function UnitNumberPart({ value, onType }: { value: string; onType: (value: string) => void }) {
  const field = useRef<HTMLInputElement>(null);
  const timer = useRef<ReturnType<typeof setTimeout>>();
  // Other filters may have changed since the last key.
  const latest = useRef(onType);
  latest.current = onType;
  useEffect(() => () => clearTimeout(timer.current), []);
  useEffect(() => {
    // What is being typed is not taken from under the fingers.
    if (field.current !== null && document.activeElement !== field.current) field.current.value = value;
  }, [value]);
  const type = (typed: string): void => {
    clearTimeout(timer.current);
    timer.current = setTimeout(() => latest.current(typed.trim()), TYPING_MS);
  };
  return (
    <label>
      <span>{tell(message('desk-due-unit-part'))}</span>
      <input
        ref={field}
        type="search"
        maxLength={40}
        autocomplete="off"
        spellcheck={false}
        defaultValue={value}
        onInput={({ currentTarget }) => type(currentTarget.value)}
      />
    </label>
  );
}

function States({
  counts,
  states,
  onChoose,
}: {
  counts: Record<DueState, number> | null;
  states: readonly DueState[];
  onChoose: (states: DueState[]) => void;
}) {
  return (
    <fieldset class="states">
      <legend>{tell(message('desk-column-state'))}</legend>
      {DUE_STATES.map((state) => (
        <label key={state} class="check">
          <input
            type="checkbox"
            checked={states.includes(state)}
            onChange={({ currentTarget: { checked } }) =>
              onChoose(DUE_STATES.filter((one) => (one === state ? checked : states.includes(one))))
            }
          />
          <Mark state={state} />
          {counts === null
            ? tell(message(`desk-due-state-${state}`))
            : tell(message(`desk-due-counted-${state}`, { count: counts[state] }))}
        </label>
      ))}
    </fieldset>
  );
}

function Grouping({
  value,
  onChoose,
}: {
  value: Filters['group'];
  onChoose: (group: Filters['group']) => void;
}) {
  return (
    <Select
      label={tell(message('desk-due-group'))}
      choices={GROUPINGS.map((one) => ({ value: one, text: tell(message(`desk-due-group-${one}`)) }))}
      value={value}
      onChoose={(group) => onChoose(GROUPINGS.find((one) => one === group) ?? 'none')}
    />
  );
}

function componentChoices(): Choice[] {
  const parts = COMPONENTS.map((value) => ({ value, text: componentInWords(value) }));
  parts.sort((a, b) => a.text.localeCompare(b.text, locale()));
  return [{ value: '', text: tell(message('desk-due-all-components')) }, ...parts];
}

/** The filters of the due list, with how many lines are in which state. */
export function FilterForm({
  filters,
  counts,
  depots,
  onChange,
}: {
  filters: Filters;
  counts: Record<DueState, number> | null;
  depots: readonly Depot[];
  onChange: (filters: Filters) => void;
}) {
  return (
    <form
      class="filters"
      role="search"
      aria-label={tell(message('desk-due-filter'))}
      onSubmit={(event) => event.preventDefault()}
    >
      <Select
        label={tell(message('desk-due-depot'))}
        choices={[
          { value: '', text: tell(message('desk-due-all-depots')) },
          ...depots.map(({ id, name }) => ({ value: id, text: name })),
        ]}
        value={filters.depot}
        onChoose={(depot) => onChange({ ...filters, depot })}
      />
      <Select
        label={tell(message('desk-due-component'))}
        choices={componentChoices()}
        value={filters.component}
        onChoose={(component) => onChange({ ...filters, component })}
      />
      <UnitNumberPart value={filters.q} onType={(q) => onChange({ ...filters, q })} />
      <Grouping value={filters.group} onChoose={(group) => onChange({ ...filters, group })} />
      <States
        counts={counts}
        states={filters.states}
        onChoose={(states) => onChange({ ...filters, states })}
      />
    </form>
  );
}
