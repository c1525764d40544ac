import type { UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import { Field as Labelled, faultsOf } from '../../../kit/parts/field.js';
import { tell } from '../../../kit/texts/tell.js';
import { message } from '../words/messages.js';
import { dutyChoices, monthsInWords, statusChoices } from '../words/words.js';
import type { AllChoices, Choices } from './choices.js';
import { type Draft, type Field, type MeasuredField, unitOf } from './draft.js';

/** A form that is being filled in. */
export interface Filling {
  draft: Draft;
  type: (field: Field, value: string) => void;
  problem: unknown;
  choices: AllChoices;
  units: UnitSystem;
}

const NAMES = {
  unitNumber: 'desk-field-unit-number',
  depotId: 'desk-vehicle-depot',
  specSheetId: 'desk-vehicle-sheet',
  intervalPlanId: 'desk-vehicle-plan',
  duty: 'desk-vehicle-duty',
  status: 'desk-vehicle-status',
  vin: 'desk-vehicle-vin',
  serialNumber: 'desk-vehicle-serial-number',
  make: 'desk-field-make',
  model: 'desk-field-model',
  modelYear: 'desk-field-model-year',
  mountedOn: 'desk-vehicle-mounted-on',
  inUseMonths: 'desk-field-in-use-months',
  inServiceOn: 'desk-vehicle-in-service-on',
} as const satisfies Partial<Record<Field, string>>;

const NAMES_WITH_UNIT = {
  inServiceOdometer: 'desk-field-in-service-odometer',
  inServiceEngineHours: 'desk-field-in-service-engine-hours',
  expectedDailyDistance: 'desk-field-expected-daily-distance',
  expectedDailyEngineHours: 'desk-field-expected-daily-engine-hours',
  designLowTemperature: 'desk-field-design-low-temperature',
} as const satisfies Record<MeasuredField, string>;

/** What a field is called. */
export function fieldName(field: Field, units: UnitSystem): string {
  return field in NAMES_WITH_UNIT
    ? tell(
        message(NAMES_WITH_UNIT[field as MeasuredField], {
          unit: degrees(unitOf(field as MeasuredField, units)),
        }),
      )
    : tell(message(NAMES[field as keyof typeof NAMES]));
}

const degrees = (unit: string): string => (unit === 'F' || unit === 'C' ? `°${unit}` : unit);

/** What the service says of a field, also of the parts of a quantity. */
const saidOf = (problem: unknown, field: Field): string[] => [
  ...faultsOf([problem], `/${field}`),
  ...faultsOf([problem], `/${field}/value`),
];

function Typed({ form, field, type = 'text' }: { form: Filling; field: Field; type?: 'text' | 'date' }) {
  return (
    <Labelled label={fieldName(field, form.units)} faults={saidOf(form.problem, field)}>
      {(about) => (
        <input
          type={type}
          autocomplete="off"
          spellcheck={false}
          {...about}
          value={form.draft[field]}
          onInput={({ currentTarget }) => form.type(field, currentTarget.value)}
        />
      )}
    </Labelled>
  );
}

function Measure({ form, field }: { form: Filling; field: MeasuredField | 'modelYear' }) {
  return (
    <Labelled label={fieldName(field, form.units)} faults={saidOf(form.problem, field)}>
      {(about) => (
        <input
          inputMode="decimal"
          autocomplete="off"
          {...about}
          value={form.draft[field]}
          onInput={({ currentTarget }) => form.type(field, currentTarget.value)}
        />
      )}
    </Labelled>
  );
}

function Chosen({ form, field, choices }: { form: Filling; field: Field; choices: Choices }) {
  return (
    <Labelled label={fieldName(field, form.units)} faults={saidOf(form.problem, field)}>
      {(about) => (
        <select
          {...about}
          value={form.draft[field]}
          onChange={({ currentTarget }) => form.type(field, currentTarget.value)}
        >
          {choices.map(([value, name]) => (
            <option key={value} value={value}>
              {name}
            </option>
          ))}
        </select>
      )}
    </Labelled>
  );
}

const MONTHS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] as const;

function Months({ form }: { form: Filling }) {
  const chosen = form.draft.inUseMonths.split(',').filter(Boolean).map(Number);
  return (
    <fieldset class="months">
      <legend>{tell(message('desk-field-in-use-months'))}</legend>
      {MONTHS.map((month) => (
        <label key={month} class="check">
          <input
            type="checkbox"
            checked={chosen.includes(month)}
            onChange={({ currentTarget: { checked } }) => {
              const next = MONTHS.filter((one) => (one === month ? checked : chosen.includes(one)));
              form.type('inUseMonths', next.join());
            }}
          />
          {monthsInWords([month])}
        </label>
      ))}
    </fieldset>
  );
}

/** The fields of a vehicle. */
export function VehicleFields({ form }: { form: Filling }) {
  const none = ['', tell(message('desk-vehicle-none'))] as const;
  const { choices } = form;
  return (
    <div class="fields">
      <Typed {...{ form }} field="unitNumber" />
      <Chosen {...{ form }} field="depotId" choices={[none, ...choices.depotId]} />
      <Chosen {...{ form }} field="intervalPlanId" choices={[none, ...choices.intervalPlanId]} />
      <Chosen {...{ form }} field="specSheetId" choices={[none, ...choices.specSheetId]} />
      <Chosen {...{ form }} field="status" choices={statusChoices()} />
      <Chosen {...{ form }} field="duty" choices={dutyChoices()} />
      <Typed {...{ form }} field="make" />
      <Typed {...{ form }} field="model" />
      <Measure {...{ form }} field="modelYear" />
      <Typed {...{ form }} field="vin" />
      <Typed {...{ form }} field="serialNumber" />
      <Typed {...{ form }} field="inServiceOn" type="date" />
      <Measure {...{ form }} field="inServiceOdometer" />
      <Measure {...{ form }} field="inServiceEngineHours" />
      <Measure {...{ form }} field="expectedDailyDistance" />
      <Measure {...{ form }} field="expectedDailyEngineHours" />
      <Measure {...{ form }} field="designLowTemperature" />
      <Months form={form} />
    </div>
  );
}
