import { LEVEL_WORDS } from '../../../../../src/domain/checks/level-marks.js';
import { COOLANT_APPEARANCES } from '../../../../../src/domain/coolant-condition/coolant-condition.js';
import { COOLANT_BASES, COOLANT_TECHNOLOGIES } from '../../../../../src/domain/coolant/coolant.js';
import { FREEZE_POINT_METHODS } from '../../../../../src/domain/strength/freeze-point-value.js';
import type { MeasureKind } from '../../../../../src/domain/quantities/measures.js';
import type { Unit } from '../../../../../src/domain/quantities/units.js';
import type { ReadingKind } from '../../../../../src/domain/readings/kinds.js';

interface NamedField {
  /** Its name in a posted reading. */
  name: string;
  /** A reading without it cannot be judged. */
  isRequired?: true;
}

/** A value with a unit; `as` is its name in the rules, in the measure's canonical unit. */
export interface QuantityField extends NamedField {
  is: 'quantity';
  as: string;
  measure: MeasureKind;
  units: readonly Unit[];
}
export interface NumberField extends NamedField {
  is: 'number';
}
export interface FlagField extends NamedField {
  is: 'flag';
}
export interface ChoiceField extends NamedField {
  is: 'choice';
  of: readonly string[];
}
/** One torque for each fastener, or the setting of the wrench and how many were tightened to it. */
export interface TorquesField extends NamedField {
  is: 'torques';
  units: readonly Unit[];
}
/** What an instrument shows; the units depend on the instrument, chosen in `method`. */
export interface StrengthField extends NamedField {
  is: 'strength';
}
export type Field = QuantityField | NumberField | FlagField | ChoiceField | TorquesField | StrengthField;

/** What is typed for a kind of reading, in the order in which it is read off. */
export interface KindForm {
  fields: readonly Field[];
  /** Units that the rules word their answer in: the first of these fields that was typed. */
  wordedBy: Readonly<Record<string, readonly string[]>>;
  /** The unit where none of them was typed. */
  otherwise?: Unit;
}

const VACUUM: readonly Unit[] = ['inHg', 'psi', 'kPa', 'mbar', 'bar'];
const PRESSURE: readonly Unit[] = ['psi', 'inHg', 'kPa', 'bar'];
const VOLUME: readonly Unit[] = ['qt', 'gal', 'fl.oz', 'L', 'mL'];
const SIZE: readonly Unit[] = ['in', 'mm'];

const flag = (name: string): FlagField => ({ is: 'flag', name });
const number = (name: string): NumberField => ({ is: 'number', name });
const choice = (name: string, ...of: string[]): ChoiceField => ({ is: 'choice', name, of });
const quantity = (name: string, as: string, measure: MeasureKind, units: readonly Unit[]): QuantityField => ({
  is: 'quantity',
  name,
  as,
  measure,
  units,
});
const needed = <F extends Field>(field: F): F => ({ ...field, isRequired: true });
const temperature = (name: string): QuantityField => quantity(name, `${name}C`, 'temperature', ['F', 'C']);
const volume = (name: string): QuantityField => quantity(name, `${name}L`, 'volume', VOLUME);
const size = (name: string): QuantityField => quantity(name, `${name}Mm`, 'size', SIZE);

/** What the phone asks for each kind of reading. Rarer fields stay with the API. */
export const KIND_FORMS: Readonly<Record<ReadingKind, KindForm>> = {
  'hold-test': {
    fields: [
      needed(choice('method', 'vacuum', 'pressure')),
      needed(quantity('start', 'startKpa', 'vacuum', VACUUM)),
      needed(quantity('end', 'endKpa', 'vacuum', VACUUM)),
      needed(number('minutes')),
      quantity('gaugeResolution', 'gaugeResolutionKpa', 'vacuum', VACUUM),
      flag('engineCold'),
      flag('wet'),
      temperature('coolantTemperature'),
    ],
    wordedBy: { unit: ['start'], temperatureUnit: ['coolantTemperature'] },
  },
  'freeze-point': {
    fields: [
      needed(choice('method', ...FREEZE_POINT_METHODS)),
      needed({ is: 'strength', name: 'value' }),
      choice('base', ...COOLANT_BASES),
      choice('scale', ...COOLANT_BASES),
    ],
    wordedBy: { unit: ['value'] },
  },
  'torque-set': {
    fields: [
      needed({ is: 'torques', name: 'torques', units: ['ft.lbf', 'in.lbf', 'N.m'] }),
      choice('source', 'setting', 'measured'),
    ],
    wordedBy: {},
  },
  fill: {
    fields: [
      volume('drained'),
      flag('cameInLow'),
      needed(volume('added')),
      flag('toppedUpToMark'),
      number('strengthPercent'),
      choice('base', ...COOLANT_BASES),
      choice('technology', ...COOLANT_TECHNOLOGIES),
      flag('tapWater'),
    ],
    wordedBy: { unit: ['added'] },
  },
  'warm-up-check': {
    fields: [
      ...[flag('heatAtVents'), flag('fanCycled'), flag('thermostatOpened'), flag('temperatureSteady')],
      ...[flag('leakSeen'), choice('levelAfterCooling', 'at-mark', 'below-mark', 'above-mark')],
    ],
    wordedBy: {},
  },
  'belt-check': {
    fields: [
      ...[flag('ribsSeated'), choice('wearGauge', 'ok', 'worn'), flag('tensionerInRange')],
      ...[flag('contaminated'), size('offset'), size('span')],
    ],
    wordedBy: { unit: ['offset', 'span'] },
  },
  'belt-tension': {
    fields: [
      ...[flag('newBelt'), number('frequencyHz'), size('deflection')],
      ...[quantity('force', 'forceN', 'force', ['lbf', 'N', 'kgf']), size('span')],
    ],
    wordedBy: { unit: ['deflection', 'span'] },
  },
  'tensioner-check': {
    fields: [
      choice('mark', 'in-range', 'out-of-range'),
      ...[size('armSwing'), flag('armMovesFreely'), flag('pulleyRunsTrue')],
    ],
    wordedBy: { unit: ['armSwing'] },
  },
  'level-check': {
    fields: [choice('level', ...LEVEL_WORDS), flag('engineCold'), volume('belowMark')],
    wordedBy: { unit: ['belowMark'] },
    otherwise: 'L',
  },
  'top-up': {
    fields: [
      needed(volume('added')),
      ...[
        flag('toMark'),
        number('strengthPercent'),
        choice('base', ...COOLANT_BASES),
        flag('tapWater'),
        flag('planned'),
      ],
    ],
    wordedBy: { unit: ['added'] },
  },
  conductivity: {
    fields: [
      needed(number('conductivityUsPerCm')),
      flag('compensatedTo25C'),
      temperature('sampleTemperature'),
    ],
    wordedBy: { unit: ['sampleTemperature'] },
  },
  'cap-test': {
    fields: [
      quantity('opensAt', 'opensAtKpa', 'pressure', PRESSURE),
      quantity('holdsAt', 'holdsAtKpa', 'pressure', PRESSURE),
      flag('vacuumValveOk'),
    ],
    wordedBy: { unit: ['opensAt', 'holdsAt'] },
    otherwise: 'kPa',
  },
  'combustion-gas-test': {
    fields: [needed(flag('positive')), flag('engineHot'), flag('underLoad')],
    wordedBy: {},
  },
  'coolant-condition': {
    fields: [
      ...[number('pH'), number('nitriteMgPerL'), number('molybdateMgPerL'), number('scaUnitsPerGallon')],
      choice('appearance', ...COOLANT_APPEARANCES),
    ],
    wordedBy: {},
  },
  'road-test': {
    fields: [
      number('minutes'),
      quantity('distance', 'distanceKm', 'distance', ['mi', 'km']),
      quantity('highestCoolantTemperature', 'highestCoolantTemperatureC', 'temperature', ['F', 'C']),
      ...[flag('warningLamp'), flag('leakSeen')],
    ],
    wordedBy: { unit: ['highestCoolantTemperature'], distanceUnit: ['distance'] },
  },
};
