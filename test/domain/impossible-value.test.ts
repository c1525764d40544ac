import { atmosphereAt } from '../../src/domain/atmosphere/atmosphere.js';
import { parseBeltDesignation } from '../../src/domain/belt/designation.js';
import { addMonths, epochDayOf } from '../../src/domain/calendar/civil-date.js';
import { civilDateAt, startOfDay } from '../../src/domain/calendar/zone.js';
import { mixtureByFreezePoint } from '../../src/domain/coolant/freezing-table.js';
import { indexFromBrix, massPercentFromIndex } from '../../src/domain/coolant/refraction.js';
import { evaluateTorqueSet, type TorqueSetReading } from '../../src/domain/fastening/torque-set.js';
import { coolantToBring } from '../../src/domain/filling/coolant-to-bring.js';
import { drainToReach } from '../../src/domain/filling/dilution.js';
import { type Impossible, ImpossibleValue } from '../../src/domain/impossible-value.js';
import { calculateProjection } from '../../src/domain/intervals/calculate-projection.js';
import { resolveRule } from '../../src/domain/intervals/resolve-rule.js';
import { overPressure } from '../../src/domain/pressure/over-pressure.js';
import { acceptVacuum } from '../../src/domain/pressure/vacuum-limit.js';
import { requireReachableVacuum } from '../../src/domain/pressure/vacuum-target.js';
import {
  requireCoolantTemperature,
  requireFinite,
  requirePercent,
} from '../../src/domain/quantities/plausible.js';
import { convert } from '../../src/domain/quantities/units.js';
import { english } from '../support/english.js';
import { refusalOf } from '../support/refusal.js';

const psi = (value: number): number => convert(value, 'psi', 'kPa');
const inHg = (value: number): number => convert(value, 'inHg', 'kPa');

describe('an impossible value', () => {
  it('names the field and the code, and counts the place in a list from 1', () => {
    const detail = { code: 'number-not-above-zero', values: { value: 0, unit: 'N·m' } };
    expect(new ImpossibleValue({ field: 'setTo', detail }).message).toBe('setTo: number-not-above-zero');
    expect(new ImpossibleValue({ field: 'values', index: 3, detail }).message).toBe(
      'values[4]: number-not-above-zero',
    );
  });

  it('is a RangeError of a name of its own, and what is not known of it is null', () => {
    const error = new ImpossibleValue({
      field: 'pH',
      detail: { code: 'percent-outside-0-to-100', values: { value: 140 } },
    });
    expect(error).toBeInstanceOf(RangeError);
    expect(error).toMatchObject({
      name: 'ImpossibleValue',
      index: null,
      value: null,
      limit: null,
      meant: null,
    });
  });
});

const set: TorqueSetReading = { kind: 'torque-set', fastener: 'pump', unit: 'N.m', valuesNm: [11, 0] };
const projection = {
  readings: [{ at: Date.UTC(2026, 0, 1), odometerKm: 20_000, engineHours: null }],
  rule: null,
  duty: 'normal',
  lastDone: null,
  timeZone: 'UTC',
  asOf: '2026-02-01',
  unit: 'mi',
} as const;
const fill = { capacityL: 14, staysL: 7, staysStrengthPercent: 0, targetStrengthPercent: 60 };

describe('the rules', () => {
  it.each<[string, () => unknown, Partial<Impossible>]>([
    [
      'a vacuum deeper than the air',
      () => acceptVacuum('start', psi(22), atmosphereAt({ elevationM: 0 }), 0, 'psi', null),
      { field: 'start', value: { value: 22, unit: 'psi' }, meant: { value: 22, unit: 'inHg' } },
    ],
    [
      'a vacuum with a minus',
      () => acceptVacuum('end', inHg(-22), atmosphereAt({}), 0, 'inHg', null),
      { field: 'end', limit: { min: 0 }, meant: { value: 22, unit: 'inHg' } },
    ],
    [
      'a target that no air gives',
      () => requireReachableVacuum('target', psi(25), 'psi'),
      { field: 'target', value: { value: 25, unit: 'psi' }, meant: { value: 25, unit: 'inHg' } },
    ],
    [
      'a target of nothing',
      () => requireReachableVacuum('target', 0, 'kPa'),
      { field: 'target', value: { value: 0, unit: 'kPa' }, limit: { above: 0 }, meant: null },
    ],
    [
      'a pressure above the cap, in the field in which it stands',
      () => overPressure({ startKpa: psi(15), endKpa: psi(18), unit: 'psi' }, psi(16), 'refuse'),
      { field: 'end', value: { value: 18, unit: 'psi' }, limit: { max: { value: 16, unit: 'psi' } } },
    ],
    [
      'a barometer in another unit',
      () => atmosphereAt({ barometerKpa: 29.92 }),
      { field: 'barometer', value: { value: 29.92, unit: 'kPa' }, meant: { value: 29.92, unit: 'inHg' } },
    ],
    [
      'an elevation in feet',
      () => atmosphereAt({ elevationM: 14_000 }),
      { field: 'elevation', value: { value: 14_000, unit: 'm' }, meant: { value: 14_000, unit: 'ft' } },
    ],
    [
      'a temperature in °F',
      () => requireCoolantTemperature('coolantTemperature', 195),
      { field: 'coolantTemperature', value: { value: 195, unit: 'C' }, meant: { value: 195, unit: 'F' } },
    ],
    [
      'a number that is none',
      () => requireFinite('offset', Number.NaN),
      { field: 'offset', value: Number.NaN },
    ],
    [
      'a share beyond the whole',
      () => requirePercent('strength', 101),
      { field: 'strength', value: 101, limit: { min: 0, max: 100 } },
    ],
    [
      'one torque of a list, by its place',
      () => evaluateTorqueSet(set, null),
      { field: 'values', index: 1, value: 0, limit: { above: 0 } },
    ],
    [
      'more torques than fasteners',
      () => evaluateTorqueSet({ ...set, valuesNm: [11, 11] }, { name: 'pump', count: 1, torqueNm: 11 }),
      { field: 'values', index: null, value: 2, limit: { max: 1 } },
    ],
    [
      'a count that is no whole number',
      () => evaluateTorqueSet({ ...set, valuesNm: null, setToNm: 11, count: 2.5 }, null),
      { field: 'count', value: 2.5, limit: { whole: true, min: 0, max: 1000 } },
    ],
    [
      'a freeze point without its minus',
      () => mixtureByFreezePoint('ethylene-glycol', 34),
      { field: 'freeze point', value: { value: 34, unit: 'C' }, meant: { value: -34, unit: 'C' } },
    ],
    [
      'a Brix value for an index',
      () => massPercentFromIndex(25),
      { field: 'refractive index', value: 25, meant: { value: 25, unit: 'Brix' } },
    ],
    [
      'a temperature for a Brix value',
      () => indexFromBrix(-37),
      { field: 'Brix', meant: { value: -37, unit: 'C' } },
    ],
    [
      'a refill that is too weak',
      () => drainToReach(12, 30, 50, 60),
      { field: 'targetStrength', value: 60, limit: { max: 50 } },
    ],
    [
      'a strength out of reach',
      () => coolantToBring(fill),
      { field: 'targetStrength', value: 60, limit: { max: 50 } },
    ],
    [
      'a belt with its numbers swapped',
      () => parseBeltDesignation('188PK600'),
      { field: 'designation', value: '188PK600', limit: { min: 2, max: 24 } },
    ],
    [
      'an interval without a limit',
      () =>
        resolveRule({ component: 'coolant', action: 'flush', item: null, anchor: 'completion' }, 'normal'),
      { field: 'interval', value: 'coolant / flush' },
    ],
    [
      'half a month',
      () =>
        resolveRule(
          { component: 'coolant', action: 'flush', item: null, anchor: 'completion', everyMonths: 1.5 },
          'normal',
        ),
      { field: 'everyMonths', value: 1.5, limit: { whole: true } },
    ],
    [
      'a reading of the future, by its place',
      () => calculateProjection({ ...projection, asOf: '2025-12-31' }),
      { field: 'readings', index: 0, value: '2026-01-01', limit: { max: '2025-12-31' } },
    ],
    [
      'miles where kilometres were read',
      () =>
        calculateProjection({
          ...projection,
          lastDone: { on: '2025-06-01', odometerKm: convert(19_000, 'mi', 'km'), engineHours: null },
        }),
      { field: 'lastDone', value: { value: 19_000, unit: 'mi' }, meant: { value: 19_000, unit: 'km' } },
    ],
    ['a day that no month has', () => epochDayOf('2026-02-30'), { field: 'date', value: '2026-02-30' }],
    ['a day that no month has, in a zone', () => startOfDay('2026-02-30', 'UTC'), { field: 'date' }],
    ['months in halves', () => addMonths('2024-01-01', 1.5), { field: 'months', value: 1.5 }],
    [
      'a zone nobody knows',
      () => civilDateAt(0, 'Mars/Olympus'),
      { field: 'timeZone', value: 'Mars/Olympus' },
    ],
    [
      'a zone nobody knows, by its days',
      () => startOfDay('2026-02-03', ''),
      { field: 'timeZone', value: '' },
    ],
    [
      'a unit of something else',
      () => convert(1, 'psi', 'L'),
      { field: 'unit', value: 'psi', limit: { oneOf: ['mL', 'L', 'fl.oz', 'pt', 'qt', 'gal'] } },
    ],
  ])('refuse %s with its field, value and limit, and what was meant', (_what, work, expected) => {
    const refusal = refusalOf(work);
    expect(refusal).toMatchObject(expected);
    expect(refusal.message.startsWith(refusal.field)).toBe(true);
    const { detail } = refusal;
    expect(refusal.message.endsWith(typeof detail === 'string' ? detail : detail.code)).toBe(true);
    // A code that no language tells would be all that it says.
    expect(english(detail)).toMatch(/\w \w/);
  });
});
