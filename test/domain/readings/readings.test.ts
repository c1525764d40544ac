import { worstOf } from '../../../src/domain/evaluation/evaluation.js';
import { SHEET_VALUES, type SheetValue } from '../../../src/domain/evaluation/starter-mark.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { evaluateReadingOfJob as evaluated } from '../../../src/domain/readings/evaluate-reading.js';
import { findingsOfReading } from '../../../src/domain/readings/findings-of-reading.js';
import { kindOf, READING_KINDS, type Reading } from '../../../src/domain/readings/kinds.js';
import type { ReadingContext } from '../../../src/domain/readings/contract/reading-context.js';
import { inEnglish } from '../../support/english.js';
import { refusalText } from '../../support/refusal.js';

const evaluateAll = (readings: readonly Reading[], known: ReadingContext) =>
  readings.map((_reading, index) => evaluateReadingOfJob(readings, index, known));
const evaluateReadingOfJob = (...given: Parameters<typeof evaluated>) => inEnglish(evaluated(...given));
const evaluateAlone = (reading: Reading, known: ReadingContext) => evaluateReadingOfJob([reading], 0, known);

const inHg = (value: number) => convert(value, 'inHg', 'kPa');
const psi = (value: number) => convert(value, 'psi', 'kPa');

const context: ReadingContext = {
  coolant: {
    base: 'ethylene-glycol',
    technology: 'OAT',
    capacityL: 14,
    drainableL: 9.5,
    targetStrengthPercent: 50,
    strengthMaxPercent: 60,
    capRatingKpa: psi(16),
  },
  holdTest: { method: 'vacuum', targetKpa: inHg(23), minutes: 5, allowedLossKpa: inHg(1) },
  fasteners: [{ name: 'pump-to-cover', count: 9, torqueNm: 11, tolerancePercent: 10 }],
  belts: [{ name: 'accessory', designation: '6PK1880' }],
  elevationM: 1500,
  designLowTemperatureC: -30,
};

const holdTest: Reading = {
  kind: 'hold-test',
  method: 'vacuum',
  startKpa: inHg(22),
  endKpa: inHg(21.7),
  minutes: 6,
  unit: 'inHg',
  gaugeResolutionKpa: inHg(0.5),
  coolantTemperatureC: 22,
  wet: true,
};
const freezePoint: Reading = {
  kind: 'freeze-point',
  base: 'ethylene-glycol',
  scale: 'ethylene-glycol',
  method: 'refractometer',
  value: -36,
  unit: 'C',
};
const torqueSet: Reading = {
  kind: 'torque-set',
  fastener: 'pump-to-cover',
  unit: 'N.m',
  valuesNm: [11, 11.2, 10.8, 11, 11, 11.1, 10.9, 11, 11],
  source: 'setting',
};
const fill: Reading = {
  kind: 'fill',
  drainedL: 9.4,
  cameInLow: false,
  addedL: 9.3,
  strengthPercent: 50,
  base: 'ethylene-glycol',
  technology: 'OAT',
  unit: 'L',
};
const warmUp: Reading = {
  kind: 'warm-up-check',
  heatAtVents: true,
  fanCycled: true,
  thermostatOpened: true,
  temperatureSteady: true,
  leakSeen: false,
  levelAfterCooling: 'at-mark',
};
const beltCheck: Reading = {
  kind: 'belt-check',
  item: 'accessory',
  ribsSeated: true,
  offsetMm: 0.5,
  spanMm: 220,
  wearGauge: 'ok',
  unit: 'mm',
};
const levelCheck: Reading = { kind: 'level-check', belowMarkL: 0.3, engineCold: true, unit: 'L' };
const topUp: Reading = {
  kind: 'top-up',
  addedL: 0.5,
  toMark: true,
  strengthPercent: 0,
  base: null,
  technology: null,
  planned: false,
  unit: 'L',
};
const wholeJob = [holdTest, torqueSet, fill, warmUp, beltCheck, levelCheck, topUp, freezePoint];

const further: Reading[] = [
  { kind: 'coolant-condition', pH: 8.2, appearance: 'clear' },
  { kind: 'cap-test', opensAtKpa: psi(17), holdsAtKpa: psi(15.5), vacuumValveOk: true, unit: 'psi' },
  { kind: 'belt-tension', item: 'accessory', frequencyHz: 110 },
  { kind: 'tensioner-check', item: 'accessory', mark: 'in-range' },
  { kind: 'conductivity', conductivityUsPerCm: 40, compensatedTo25C: true },
  { kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true },
  { kind: 'road-test', distanceKm: 10, highestCoolantTemperatureC: 95, warningLamp: false, leakSeen: false },
];

describe('the readings of a job', () => {
  it('pass when everything is as it should be, in their order', () => {
    const evaluations = evaluateAll(wholeJob, context);
    expect(evaluations.map(({ verdict }) => verdict)).toEqual([
      'pass',
      'pass',
      'pass',
      'pass',
      'pass',
      'pass',
      null,
      'pass',
    ]);
    expect(worstOf(evaluations.map(({ verdict }) => verdict))).toBe('pass');
    const followUps = wholeJob.flatMap((reading, index) => findingsOfReading(reading, evaluations[index]!));
    expect(followUps).toEqual([]);
  });

  it('each carry reasons, cautions and a basis, whatever is known of the vehicle', () => {
    for (const known of [context, {}, { coolant: null, holdTest: null }]) {
      for (const reading of [...wholeJob, ...further]) {
        const { reasons, cautions } = evaluateAlone(reading, known);
        expect(reasons.length).toBeGreaterThan(0);
        expect(reasons.every((reason) => reason.length > 0)).toBe(true);
        expect(cautions.length).toBeGreaterThan(0);
      }
    }
  });

  it('know every kind', () => {
    expect(new Set([...wholeJob, ...further].map(({ kind }) => kind))).toEqual(new Set(READING_KINDS));
  });

  it('list every value of the sheet that they are judged by, so that a ready-made one is told', () => {
    const named: Record<string, string> = {
      ...{ base: 'coolantBase', technology: 'coolantTechnology' },
      ...{ method: 'holdTestMethod', targetKpa: 'holdTestTargetKpa' },
      ...{ minutes: 'holdTestMinutes', allowedLossKpa: 'holdTestAllowedLossKpa' },
    };
    const used = new Set<string>();
    const watched = <T extends object>(values: T, name?: string): T =>
      new Proxy(values, {
        get: (target, field) => {
          used.add(name ?? named[String(field)] ?? String(field));
          return target[field as keyof T];
        },
      });
    const known: ReadingContext = {
      ...context,
      coolant: watched(context.coolant ?? {}),
      holdTest: watched(context.holdTest ?? {}),
      conditionLimits: watched({ conductivityMaxUsPerCm: 100 }, 'coolantCondition'),
    };
    const job = [...wholeJob, ...further];
    for (const [index, reading] of job.entries()) {
      used.clear();
      evaluated(job, index, known);
      const { sheetValues } = kindOf(reading);
      expect([reading.kind, [...used].filter((value) => !sheetValues.includes(value as SheetValue))]).toEqual(
        [reading.kind, []],
      );
      for (const starterValues of [
        sheetValues,
        SHEET_VALUES.filter((value) => !sheetValues.includes(value)),
      ]) {
        const { basis } = evaluated(job, index, { ...context, starterValues });
        const isTold = sheetValues.length > 0 && starterValues === sheetValues;
        expect([reading.kind, basis.some(({ code }) => code === 'starter-values')]).toEqual([
          ...[reading.kind, isTold],
        ]);
      }
    }
  });

  it('have no verdict, or a default, for a vehicle without a spec sheet', () => {
    const verdicts = evaluateAll(wholeJob, {}).map(({ verdict }) => verdict);
    expect(verdicts).toEqual(['pass', null, 'pass', 'pass', 'pass', 'pass', null, null]);
  });

  it('bear on one another: a warm-up check clears the shortfall of the fill', () => {
    const short: Reading = { ...fill, addedL: 8 };
    expect(evaluateAlone(short, context).verdict).toBe('fail');
    expect(evaluateAll([short, warmUp], context)[0]!.verdict).toBe('pass');
    expect(evaluateAll([warmUp, short], context)[1]!.verdict).toBe('pass');
  });

  // Boyle's law by hand: 21.7 inHg of 24.97 leaves 13.1 % of 9.4 L as air, 1.23 L.
  it('bear on one another: the vacuum of the hold test tells how much air a vacuum fill left', () => {
    const short: Reading = { ...fill, addedL: 8 };
    const [, judged] = evaluateAll([holdTest, short], context);
    expect(judged!.verdict).toBe('inconclusive');
    const full: Reading = { ...topUp, addedL: 1.3, strengthPercent: 50 };
    expect(evaluateAll([holdTest, short, full], context)[1]!.verdict).toBe('pass');
    expect(judged!.computed.expectedAir).toEqual({ measure: 'volume', value: expect.closeTo(1.231, 3) });
    const leaking: Reading = { ...holdTest, endKpa: inHg(18) };
    expect(evaluateAll([leaking, short], context)[1]!.verdict).toBe('fail');
    const shallow: Reading = { ...holdTest, startKpa: inHg(5), endKpa: inHg(5) };
    expect(evaluateAll([shallow, short], context)[1]!.verdict).toBe('fail');
  });

  it('bear on one another: after another base was poured in, no freeze point counts', () => {
    const wrong: Reading = { ...fill, base: 'propylene-glycol' };
    const [poured, read] = evaluateAll([wrong, freezePoint], context);
    expect(poured!.verdict).toBe('fail');
    expect(findingsOfReading(wrong, poured!)).toEqual(['other-base']);
    expect(read!.verdict).toBe('inconclusive');
  });

  it('bear on one another: technologies poured in add up to more than a tenth of capacity', () => {
    const other: Reading = {
      ...topUp,
      addedL: 0.8,
      strengthPercent: 50,
      base: 'ethylene-glycol',
      technology: 'IAT',
    };
    const [first, second] = evaluateAll([other, other], context);
    expect(first!.computed.shortensCoolantLife).toBe(false);
    expect(second!.computed.shortensCoolantLife).toBe(true);
    expect(findingsOfReading(other, second!)).toEqual(['other-technology']);
  });

  it('can be judged one by one, so that an impossible one is set aside and the rest kept', () => {
    const impossible: Reading = { ...holdTest, startKpa: psi(22), endKpa: psi(21), unit: 'psi' };
    const job = [impossible, { ...fill, addedL: 8 }, warmUp] as const;
    expect(() => evaluateReadingOfJob(job, 0, context)).toThrow(ImpossibleValue);
    expect(refusalText(() => evaluateReadingOfJob(job, 0, context))).toMatch(
      /22 psi .* limit at 4,?921 ft .*Was it 22 inHg/,
    );
    expect(evaluateReadingOfJob(job, 1, context).verdict).toBe('pass');
  });

  it('use what a fleet changed of the defaults', () => {
    const changed: ReadingContext = { ...context, practice: { freezeMarginC: 6 } };
    expect(evaluateAlone(freezePoint, changed).verdict).toBe('inconclusive');
  });

  it('name a fastener group that the sheet does not have', () => {
    const unknown = evaluateAlone({ ...torqueSet, fastener: 'pulley' }, context);
    expect(unknown.verdict).toBe('inconclusive');
    expect(unknown.reasons[0]).toMatch(/pulley is not on the spec sheet, which has: pump-to-cover/);
  });

  it('prefer the barometer read at the test to the elevation', () => {
    const atSeaLevel = evaluateAlone({ ...holdTest, barometerKpa: 101.325 }, context);
    expect(atSeaLevel.reasons.join()).toMatch(/short of the 23 inHg/);
  });
});

const TOO_SOON = 'The freeze point of this job was read before this was poured in. Read it again.';

describe('follow-ups', () => {
  it('a top-up with water alone calls for a test, unless the same job reads the strength after it', () => {
    const [alone] = evaluateAll([topUp], context);
    expect(findingsOfReading(topUp, alone!)).toEqual(['water-poured']);
    const [read] = evaluateAll([topUp, freezePoint], context);
    expect(findingsOfReading(topUp, read!)).toEqual([]);
    const [, readTooSoon] = evaluateAll([freezePoint, topUp], context);
    expect(findingsOfReading(topUp, readTooSoon!)).toEqual(['water-poured']);
    expect(readTooSoon!.reasons).toContain(TOO_SOON);
    expect(alone!.reasons).not.toContain(TOO_SOON);
  });

  it('a freeze point read between two top-ups with water proves nothing of the second', () => {
    const [first, , second] = evaluateAll([topUp, freezePoint, topUp], context);
    expect(findingsOfReading(topUp, first!)).toEqual([]);
    expect(findingsOfReading(topUp, second!)).toEqual(['water-poured']);
  });

  it('a fill that ends too weak calls for a test, unless the same job reads the strength after it', () => {
    const flushed: ReadingContext = { ...context, stayedStrengthPercent: 0 };
    const [weak] = evaluateAll([fill], flushed);
    expect(findingsOfReading(fill, weak!)).toEqual(['fill-weak']);
    const [read] = evaluateAll([fill, freezePoint], flushed);
    expect(findingsOfReading(fill, read!)).toEqual([]);
    const [, readTooSoon] = evaluateAll([freezePoint, fill], flushed);
    expect(findingsOfReading(fill, readTooSoon!)).toEqual(['fill-weak']);
    expect(readTooSoon!.reasons).toContain(TOO_SOON);
    expect(weak!.reasons).not.toContain(TOO_SOON);
  });
});
