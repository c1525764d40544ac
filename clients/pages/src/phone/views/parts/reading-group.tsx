import type { Unit } from '../../../../../../src/domain/quantities/units.js';
import { systemOf } from '../../../../../../src/domain/quantities/measures.js';
import type { ReadingContext } from '../../../../../../src/domain/readings/contract/reading-context.js';
import { reader, tell } from '../../../kit/texts/tell.js';
import { type Field, KIND_FORMS } from '../../readings/kind-forms.js';
import { judge } from '../../readings/judge.js';
import { numberTyped, TORQUES, type TypedReading, unitsFor } from '../../readings/typed-reading.js';
import { message } from '../../words/messages.js';
import { fieldName, readingInWords } from '../../words/named.js';
import { Amount, Choice, YesNo } from './controls.js';
import { FaultOf } from './faults.js';
import { Verdict } from './verdict.js';

interface Editing {
  reading: TypedReading;
  change: (reading: TypedReading) => void;
}

/** The unit that is shown: the chosen one, else the first of the reader's own. */
export function unitShown(reading: TypedReading, field: Field): Unit | undefined {
  const units = unitsFor(field, reading);
  const chosen = reading.units[field.name];
  if (chosen !== undefined && units.includes(chosen)) return chosen;
  return units.find((unit) => systemOf(unit) === reader.value.units) ?? units[0];
}

/** Sets a value together with the unit in which it is read, so that what is shown is what is sent. */
export function withValue(reading: TypedReading, field: Field, name: string, text: string): TypedReading {
  const unit = unitShown(reading, field);
  const units = unit === undefined ? reading.units : { ...reading.units, [field.name]: unit };
  return { ...reading, values: { ...reading.values, [name]: text }, units };
}

function OneField({ reading, change, field }: Editing & { field: Field }) {
  const { name } = field;
  const text = reading.values[name] ?? '';
  const label = fieldName(name);
  const set = (value: string): void => change(withValue(reading, field, name, value));
  if (field.is === 'flag') return <YesNo label={label} chosen={text} onChoose={set} />;
  if (field.is === 'choice') {
    const options = field.of.map((value) => ({
      value,
      name: tell(message(`phone-choice-${value as 'vacuum'}`)),
    }));
    return <Choice label={label} options={options} chosen={text} onChoose={set} />;
  }
  if (field.is === 'torques') return <Torques reading={reading} change={change} field={field} />;
  const units = unitsFor(field, reading);
  if (field.is === 'strength' && units.length === 0) return null;
  const isTemperature = units.includes('F');
  return (
    <Amount
      label={label}
      text={text}
      onText={set}
      unit={unitShown(reading, field)}
      units={units}
      onUnit={(unit) => change(withUnit(reading, field, unit))}
      isSigned={isTemperature}
      isWrong={text.trim() !== '' && numberTyped(text) === null}
    />
  );
}

/** Both values of a hold test are read off the same gauge. */
function withUnit(reading: TypedReading, field: Field, unit: Unit): TypedReading {
  const names =
    reading.kind === 'hold-test' && ['start', 'end'].includes(field.name) ? ['start', 'end'] : [field.name];
  return {
    ...reading,
    units: { ...reading.units, ...Object.fromEntries(names.map((name) => [name, unit])) },
  };
}

function Torques({ reading, change, field }: Editing & { field: Field }) {
  const unit = unitShown(reading, field);
  const amount = (name: string, label: string, hasUnit: boolean) => (
    <Amount
      key={name}
      label={label}
      text={reading.values[name] ?? ''}
      onText={(text) => change(withValue(reading, field, name, text))}
      unit={unit}
      units={hasUnit ? unitsFor(field, reading) : []}
      onUnit={(chosen) => change(withUnit(reading, field, chosen))}
    />
  );
  return (
    <>
      {amount(TORQUES.setTo, fieldName('setTo'), true)}
      {amount(TORQUES.count, fieldName('count'), false)}
      {(reading.count ?? 0) > 0 && (
        <details>
          <summary>{tell(message('phone-each-torque'))}</summary>
          {Array.from({ length: reading.count ?? 0 }, (_none, index) =>
            amount(TORQUES.one(index), tell(message('phone-torque-number', { number: index + 1 })), false),
          )}
        </details>
      )}
    </>
  );
}

/** The fields of one reading, with the verdict as it is typed. */
export function ReadingGroup({
  reading,
  change,
  all,
  contextIn,
  sentAs,
}: Editing & {
  all: readonly TypedReading[];
  contextIn: (circuit: TypedReading['circuit']) => ReadingContext;
  /** The JSON pointer under which it is sent. */
  sentAs: string | undefined;
}) {
  const { fields } = KIND_FORMS[reading.kind];
  const first = fields.filter((field, index) => field.isRequired === true || index < FIRST_FIELDS);
  const further = fields.filter((field) => !first.includes(field));
  return (
    <fieldset class="reading" id={`reading-${reading.key}`}>
      <legend>{readingInWords(reading)}</legend>
      {first.map((field) => (
        <OneField key={field.name} reading={reading} change={change} field={field} />
      ))}
      {further.length > 0 && (
        <details>
          <summary>{tell(message('phone-more-fields'))}</summary>
          {further.map((field) => (
            <OneField key={field.name} reading={reading} change={change} field={field} />
          ))}
        </details>
      )}
      {sentAs !== undefined && <FaultOf at={sentAs} />}
      <Verdict judged={judge(all, reading.key, contextIn)} reading={reading} change={change} />
    </fieldset>
  );
}

/** Shown at once; the rest by a tap. */
const FIRST_FIELDS = 6;
