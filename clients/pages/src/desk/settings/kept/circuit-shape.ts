import { COOLANT_BASES, COOLANT_TECHNOLOGIES } from '../../../../../../src/domain/coolant/coolant.js';
import { PREPARATIONS } from '../../../../../../src/domain/visits/labour-hours.js';
import type { Choices, Shape } from '../../record-form/shape.js';
import { message } from './messages.js';
import { ACTION_NAMES, COMPONENT_NAMES } from './names.js';
import { titledBy, workOf } from './titles.js';

const BASE_NAMES: Choices = COOLANT_BASES.map((base) => [base, message(`desk-sheet-base-${base}`)]);
const PREPARATION_NAMES: Choices = PREPARATIONS.map((preparation) => [
  preparation,
  message(`desk-sheet-preparation-${preparation}`),
]);

const ADDITIVE: Shape = [
  { is: 'text', name: 'product', label: message('desk-sheet-additive-product') },
  {
    ...{ is: 'amount', name: 'amount', units: ['pt', 'fl.oz', 'qt', 'gal', 'mL', 'L'] },
    label: message('desk-sheet-additive-amount'),
  },
  {
    ...{ is: 'amount', name: 'treats', units: ['gal', 'qt', 'L'] },
    label: message('desk-sheet-additive-treats'),
  },
  { is: 'number', name: 'raisesScaUnitsPerGallon', label: message('desk-sheet-additive-sca') },
  { is: 'number', name: 'raisesNitriteMgPerL', unit: 'mg/L', label: message('desk-sheet-additive-nitrite') },
  {
    ...{ is: 'number', name: 'raisesMolybdateMgPerL', unit: 'mg/L' },
    label: message('desk-sheet-additive-molybdate'),
  },
];

const CONDITION: Shape = [
  { is: 'yes-no', name: 'heavyDuty', label: message('desk-sheet-heavy-duty') },
  { is: 'yes-no', name: 'wetLiners', label: message('desk-sheet-wet-liners') },
  { is: 'number', name: 'pHMin', label: message('desk-sheet-ph-min') },
  { is: 'number', name: 'pHMax', label: message('desk-sheet-ph-max') },
  { is: 'number', name: 'nitriteMinMgPerL', unit: 'mg/L', label: message('desk-sheet-nitrite-min') },
  { is: 'number', name: 'nitriteMaxMgPerL', unit: 'mg/L', label: message('desk-sheet-nitrite-max') },
  { is: 'number', name: 'molybdateMinMgPerL', unit: 'mg/L', label: message('desk-sheet-molybdate-min') },
  { is: 'number', name: 'molybdateMaxMgPerL', unit: 'mg/L', label: message('desk-sheet-molybdate-max') },
  { is: 'number', name: 'scaMinUnitsPerGallon', label: message('desk-sheet-sca-min') },
  { is: 'number', name: 'scaMaxUnitsPerGallon', label: message('desk-sheet-sca-max') },
  { is: 'number', name: 'reserveAlkalinityMinMl', unit: 'mL', label: message('desk-sheet-alkalinity') },
  { is: 'number', name: 'conductivityMaxUsPerCm', unit: 'µS/cm', label: message('desk-sheet-conductivity') },
];

const COOLANT: Shape = [
  { is: 'choice', name: 'base', choices: BASE_NAMES, label: message('desk-sheet-coolant-base') },
  {
    ...{ is: 'choice', name: 'technology', isOptional: true, label: message('desk-sheet-technology') },
    choices: COOLANT_TECHNOLOGIES.map((one) => [one, one]),
  },
  { is: 'quantity', name: 'capacity', measure: 'volume', label: message('desk-sheet-capacity') },
  { is: 'quantity', name: 'drainable', measure: 'volume', label: message('desk-sheet-drainable') },
  { is: 'number', name: 'targetStrengthPercent', unit: '%', label: message('desk-sheet-strength') },
  { is: 'number', name: 'strengthMax', unit: '%', label: message('desk-sheet-strength-max') },
  { is: 'quantity', name: 'capRating', measure: 'pressure', label: message('desk-sheet-cap') },
  { is: 'quantity', name: 'maxTestPressure', measure: 'pressure', label: message('desk-sheet-max-test') },
  {
    ...{ is: 'quantity', name: 'thermostatOpens', measure: 'temperature' },
    label: message('desk-sheet-thermostat'),
  },
  {
    ...{ is: 'quantity', name: 'highTemperatureAlarm', measure: 'temperature' },
    label: message('desk-sheet-alarm'),
  },
  { is: 'quantity', name: 'litresMinToMax', measure: 'volume', label: message('desk-sheet-min-to-max') },
  { is: 'group', name: 'additive', shape: ADDITIVE, label: message('desk-sheet-additive') },
  { is: 'group', name: 'condition', shape: CONDITION, label: message('desk-sheet-condition') },
];

/** In US units, a vacuum is read in inHg and a pressure in psi. */
const testMeasure = ({ typed }: { typed: Readonly<Record<string, string>> }) =>
  typed['method'] === 'pressure' ? 'pressure' : 'vacuum';

const HOLD_TEST: Shape = [
  {
    ...{ is: 'choice', name: 'method', isOptional: true, label: message('desk-sheet-test-method') },
    choices: [
      ['vacuum', message('desk-sheet-test-vacuum')],
      ['pressure', message('desk-sheet-test-pressure')],
    ],
  },
  { is: 'quantity', name: 'target', measure: testMeasure, label: message('desk-sheet-test-target') },
  { is: 'number', name: 'minutes', unit: 'min', label: message('desk-sheet-test-minutes') },
  { is: 'quantity', name: 'allowedLoss', measure: testMeasure, label: message('desk-sheet-test-loss') },
];

const PART: Shape = [
  { is: 'choice', name: 'component', choices: COMPONENT_NAMES, label: message('desk-kept-component') },
  { is: 'text', name: 'description', label: message('desk-sheet-part-description') },
  { is: 'number', name: 'quantity', label: message('desk-sheet-part-quantity') },
  { is: 'text', name: 'partNumber', label: message('desk-sheet-part-number') },
];

const LABOUR: Shape = [
  {
    ...{ is: 'list', name: 'preparations', label: message('desk-sheet-preparations') },
    titleOf: ({ typed: { preparation } }) => titledBy(PREPARATION_NAMES, preparation),
    add: message('desk-sheet-add-preparation'),
    shape: [
      {
        ...{ is: 'choice', name: 'preparation', choices: PREPARATION_NAMES },
        label: message('desk-sheet-preparation-what'),
      },
      { is: 'number', name: 'hours', unit: 'h', label: message('desk-sheet-hours') },
    ],
  },
  {
    ...{ is: 'list', name: 'lines', label: message('desk-sheet-labour-lines'), titleOf: workOf },
    add: message('desk-sheet-add-labour-line'),
    shape: [
      { is: 'choice', name: 'component', choices: COMPONENT_NAMES, label: message('desk-kept-component') },
      { is: 'choice', name: 'action', choices: ACTION_NAMES, label: message('desk-plan-action') },
      { is: 'number', name: 'hours', unit: 'h', label: message('desk-sheet-hours') },
      {
        ...{ is: 'choices', name: 'preparations', choices: PREPARATION_NAMES },
        label: message('desk-sheet-line-preparations'),
      },
    ],
  },
];

/** What each coolant circuit has of its own. */
export const CIRCUIT: Shape = [
  { is: 'group', name: 'coolant', shape: COOLANT, isRequired: true, label: message('desk-sheet-coolant') },
  { is: 'group', name: 'holdTest', shape: HOLD_TEST, label: message('desk-sheet-hold-test') },
  {
    ...{ is: 'list', name: 'parts', shape: PART, label: message('desk-sheet-parts') },
    titleOf: ({ typed: { description = '' } }) => description.trim(),
    add: message('desk-sheet-add-part'),
  },
  { is: 'group', name: 'labour', shape: LABOUR, label: message('desk-sheet-labour') },
];
