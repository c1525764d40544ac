import { Field } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { unitName } from './draft.js';
import { faultsWithin } from './faults.js';
import type { Filling } from './filling.js';
import { labelOf, nameOf } from './labels.js';
import { message } from './messages.js';
import type { Choices, LeafPart } from './shape.js';

interface About {
  'aria-invalid': boolean;
  'aria-describedby': string | undefined;
}

interface Input {
  about: About;
  value: string;
  type: (value: string) => void;
}

function Select({ about, value, type, choices }: Input & { choices: Choices }) {
  return (
    <select {...about} value={value} onChange={({ currentTarget }) => type(currentTarget.value)}>
      {choices.map(([one]) => (
        <option key={one} value={one}>
          {nameOf(choices, one)}
        </option>
      ))}
    </select>
  );
}

function Typed({ about, value, type, isNumber }: Input & { isNumber: boolean }) {
  return (
    <input
      inputMode={isNumber ? 'decimal' : 'text'}
      autocomplete="off"
      {...about}
      value={value}
      onInput={({ currentTarget }) => type(currentTarget.value)}
    />
  );
}

function Lines({ about, value, type }: Input) {
  return (
    <textarea rows={4} {...about} value={value} onInput={({ currentTarget }) => type(currentTarget.value)} />
  );
}

/** The choices of a part, with one for none where none may be chosen. */
function choicesOf(part: LeafPart): Choices {
  if (part.is === 'yes-no')
    return [
      ['', message('desk-record-none')],
      ['true', message('desk-record-yes')],
      ['false', message('desk-record-no')],
    ];
  if (part.is !== 'choice') return [];
  if (part.preset !== undefined) return part.choices;
  return [['', part.isOptional ? message('desk-record-none') : '–'], ...part.choices];
}

function Several({
  part,
  at,
  filling,
}: {
  part: LeafPart & { is: 'choices' };
  at: string;
  filling: Filling;
}) {
  const { draft, type, faults } = filling;
  const chosen = (draft.typed[part.name] ?? '').split(',').filter(Boolean);
  const said = faultsWithin(faults, at);
  return (
    <fieldset class="field several">
      <legend>{tell(part.label)}</legend>
      {part.choices.map(([one]) => (
        <label key={one} class="check">
          <input
            type="checkbox"
            checked={chosen.includes(one)}
            onChange={({ currentTarget: { checked } }) => {
              const next = part.choices.filter(([value]) =>
                value === one ? checked : chosen.includes(value),
              );
              type(part.name, next.map(([value]) => value).join());
            }}
          />
          {nameOf(part.choices, one)}
        </label>
      ))}
      {said.length > 0 && <p class="fault">{said.join(' ')}</p>}
    </fieldset>
  );
}

function Flag({ part, filling }: { part: LeafPart; filling: Filling }) {
  return (
    <label class="check field">
      <input
        type="checkbox"
        checked={filling.draft.typed[part.name] === 'true'}
        onChange={({ currentTarget }) => filling.type(part.name, String(currentTarget.checked))}
      />
      {tell(part.label)}
    </label>
  );
}

function Unit({ part, filling: { draft, type } }: { part: LeafPart & { is: 'amount' }; filling: Filling }) {
  const name = unitName(part.name);
  return (
    <Field label={tell(message('desk-record-unit-of', { label: tell(part.label) }))}>
      {(about) => (
        <Select
          {...{ about, value: draft.typed[name] ?? '' }}
          type={(unit) => type(name, unit)}
          choices={part.units.map((unit) => [unit, unit])}
        />
      )}
    </Field>
  );
}

/** One field, with what is wrong with it and whether it is ready-made. */
export function Leaf({ part, at, filling }: { part: LeafPart; at: string; filling: Filling }) {
  const { draft, units, type, faults, isMarked } = filling;
  if (part.is === 'flag') return <Flag {...{ part, filling }} />;
  if (part.is === 'choices') return <Several {...{ part, at, filling }} />;
  const isChosen = part.is === 'choice' || part.is === 'yes-no';
  const isNumber = part.is === 'number' || part.is === 'quantity' || part.is === 'amount';
  return (
    <>
      <Field
        label={labelOf(part, draft, units)}
        faults={faultsWithin(faults, at)}
        note={isMarked(part) ? tell(message('desk-record-marked')) : undefined}
      >
        {(about) => {
          const input = {
            about,
            value: draft.typed[part.name] ?? '',
            type: (to: string) => type(part.name, to),
          };
          if (isChosen) return <Select {...input} choices={choicesOf(part)} />;
          return part.is === 'lines' ? <Lines {...input} /> : <Typed {...{ ...input, isNumber }} />;
        }}
      </Field>
      {part.is === 'amount' && <Unit {...{ part, filling }} />}
    </>
  );
}
