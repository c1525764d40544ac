import type { LevelWord } from '../../../src/domain/checks/level-marks.js';
import { watchVehicle } from '../../../src/domain/loss/alerts/watch-vehicle.js';
import { levelRead } from '../../../src/domain/loss/balance/level-read.js';
import { LOSS_DEFAULTS } from '../../../src/domain/loss/facts/settings.js';
import type { LossFact } from '../../../src/domain/loss/facts/types.js';
import { englishIn } from '../../support/english.js';
import { action, job, levelCheck, levelWord, line, onDay, topUp, vehicle } from './facts.js';
import { normal, seeded } from './simulation.js';

const AFTER_ALL = onDay(9000);

function alertsOf(events: LossFact[], minToMaxL: number | null, capacityL = 12) {
  const sheet = { capacityL, base: 'ethylene-glycol', technology: null, minToMaxL };
  return watchVehicle(vehicle(events, { sheet }), LOSS_DEFAULTS, AFTER_ALL);
}
const kinds = (events: LossFact[], minToMaxL: number | null) =>
  alertsOf(events, minToMaxL).map(({ kind }) => kind);

describe('what a level by its marks tells', () => {
  it('is anywhere between the marks: the middle, with a standard uncertainty of a √12th of what lies between', () => {
    // JCGM 100:2008, 4.3.7.
    const read = levelRead({ belowMarkL: null, level: 'between', engineCold: true }, 1.2);
    expect(read).toEqual({
      exactL: null,
      leastL: 0,
      estimate: { belowMarkL: 0.6, uncertaintyL: expect.closeTo(0.3464, 4) },
    });
  });

  it.each([
    ['at-max', true, { exactL: 0, leastL: 0 }],
    ['at-max', false, { exactL: null, leastL: null }],
    ['between', false, { exactL: null, leastL: null }],
    ['below-min', true, { exactL: null, leastL: 1.2 }],
    ['below-min', false, { exactL: null, leastL: 1.2 }],
    ['above-max', true, { exactL: null, leastL: null }],
  ] as const)('%s, cold: %p, in litres', (level, engineCold, litres) => {
    expect(levelRead({ belowMarkL: null, level, engineCold }, 1.2)).toMatchObject(litres);
  });
});

describe('the loss watch by marks', () => {
  const atMax = levelWord('full', 0, 'at-max', { km: 0 });

  it('finds at once what must be missing below MIN: at least 10 % of capacity', () => {
    const [alert] = alertsOf([atMax, levelWord('low', 3, 'below-min', { km: 200 })], 1.3);
    expect(alert).toMatchObject({
      kind: 'repeat-top-ups',
      computed: { lost: { value: expect.closeTo(1.29, 9) } },
    });
    expect(englishIn('si', alert!.evidence[0]!.message)).toMatch(/at least 1.3 L lost/);
  });

  it('takes below MIN on a hot engine too, for cold it is lower still', () => {
    expect(kinds([atMax, levelWord('low', 3, 'below-min', { km: 200, warm: true })], 1.3)).toEqual([
      'repeat-top-ups',
    ]);
  });

  it('does not take for a large loss what is usual over so far a distance', () => {
    const low = (km: number) => [atMax, levelWord('low', km / 82, 'below-min', { km })];
    expect(kinds(low(40_000), 1.3)).toEqual([]);
    expect(kinds([atMax, levelWord('low', 3, 'below-min')], 1.3)).toEqual([]);
  });

  it('finds a rising loss where the least that was lost lies far off the usual line', () => {
    const [alert] = alertsOf([atMax, levelWord('low', 40, 'below-min', { km: 3000 })], 1.15);
    expect(alert).toMatchObject({ kind: 'rising-loss' });
    const last = alert!.evidence.at(-1)!;
    expect(last.factId).toBe('low');
    expect(englishIn('si', last.message)).toMatch(
      /^Below MIN\. Lost in all since the first level: at least 0\.[89] L\.$/,
    );
    expect(kinds([atMax, levelWord('low', 40, 'below-min', { km: 1100 })], 1.15)).toEqual([]);
  });

  it.each([0.5, 1.2, 2, null])(
    'never raises an alert by levels between the marks alone, %p L apart',
    (minToMaxL) => {
      const between = Array.from({ length: 80 }, (_, index) =>
        levelWord(`b${index}`, 5 * (index + 1), 'between', { km: 500 * (index + 1) }),
      );
      expect(kinds([atMax, ...between], minToMaxL)).toEqual([]);
      expect(kinds(between, minToMaxL)).toEqual([]);
    },
  );

  it('does not take what was missing before the first level for loss since then', () => {
    const events = [
      levelWord('first', 0, 'below-min', { km: 0 }),
      topUp('filled', 0.1, 3, { km: 5, planned: true }),
      levelWord('next', 30, 'at-max', { km: 3000 }),
    ];
    expect(kinds(events, 1)).toEqual([]);
  });

  it('counts what was poured in since a known level, whatever lies between', () => {
    const events = [
      atMax,
      levelWord('b1', 20, 'between', { km: 2000 }),
      topUp('added', 21, 1.15, { km: 2100, toMark: false, planned: true }),
      levelWord('b2', 40, 'between', { km: 4000 }),
    ];
    expect(kinds(events, 1)).toEqual(['rising-loss']);
  });

  it('says nothing where the sheet does not tell how much lies between the marks', () => {
    expect(kinds([atMax, levelWord('low', 40, 'below-min', { km: 3000 })], null)).toEqual([]);
  });

  it.each([
    ['at-max', true],
    ['between', false],
    ['above-max', false],
  ] as const)('takes %s for proof of a repair: %p', (level, isProof) => {
    const events = [
      atMax,
      levelWord('low', 3, 'below-min', { km: 200 }),
      job('repair', 4, [line('water-pump', 'replace')], { km: 210 }),
      levelWord('after', 20, level, { km: 2000 }),
    ];
    expect(alertsOf(events, 1.3)[0]?.status === 'cleared').toBe(isProof);
  });

  it('raises a cleared alert again for a level below MIN, by less than would raise it new', () => {
    const raised = [atMax, levelWord('low', 3, 'below-min', { km: 200 })];
    const key = alertsOf(raised, 1.3)[0]?.key ?? '';
    const again = [
      ...raised,
      action(4, key, 'clear'),
      levelWord('full again', 5, 'at-max', { km: 300 }),
      levelWord('low again', 9, 'below-min', { km: 700 }),
    ];
    const small = [levelCheck('c0', 0, 0, { km: 0 }), levelCheck('c1', 3, 1.3, { km: 200 })];
    const smallKey = alertsOf(small, 0.95)[0]?.key ?? '';
    const returned = [
      ...small,
      action(4, smallKey, 'clear'),
      levelWord('full', 5, 'at-max', { km: 300 }),
      levelWord('low', 9, 'below-min', { km: 700 }),
    ];
    expect(alertsOf(again, 1.3).map((alert) => alert.returned)).toContain(true);
    expect(alertsOf(returned, 0.95).map((alert) => alert.returned)).toContain(true);
  });
});

/** How a reader words a level that he sees: at MAX within the noise of a reading. */
function worded(readL: number, minToMaxL: number, noiseL: number): LevelWord {
  if (readL > minToMaxL) return 'below-min';
  if (readL > noiseL) return 'between';
  return readL < -2 * noiseL ? 'above-max' : 'at-max';
}

interface MarksHistory {
  km: number;
  checkEveryKm: number;
  noiseL: number;
  minToMaxL: number;
  usualRate: number;
  leakFromKm: number;
  /** Share of the checks that are told in litres. */
  inLitres: number;
}

/**
 * As `levelHistory`, told by the marks; filled up to the mark, as planned, once it is seen below
 * MIN.
 */
function marksHistory(history: MarksHistory, random: () => number): LossFact[] {
  const { checkEveryKm, noiseL, minToMaxL } = history;
  const facts: LossFact[] = [];
  let [missingL, lastKm] = [0, 0];
  const lost = (km: number) => (history.usualRate * km + 0.3 * Math.max(0, km - history.leakFromKm)) / 1000;
  for (let km = checkEveryKm * random(); km <= history.km; km += checkEveryKm * (0.9 + 0.2 * random())) {
    missingL += lost(km) - lost(lastKm);
    lastKm = km;
    const readL = missingL + noiseL * normal(random);
    const [id, day] = [`l${facts.length}`, km / 82];
    facts.push(
      random() < history.inLitres
        ? levelCheck(id, day, readL, { km })
        : levelWord(id, day, worded(readL, minToMaxL, noiseL), { km }),
    );
    if (readL > minToMaxL) {
      facts.push(topUp(`t${facts.length}`, day, readL, { km, toMark: true, planned: true }));
      missingL -= readL;
    }
  }
  return facts;
}

const SYSTEMS = { small: { capacityL: 12, noiseL: 0.15 }, large: { capacityL: 40, noiseL: 0.3 } };

describe('how good it is by marks', () => {
  it.each([
    ['small', 0.6, 200, 0, 150],
    ['small', 1.2, 1500, 0, 600],
    ['small', 1.2, 200, 0.5, 150],
    ['small', 2, 1500, 0.5, 600],
    ['small', 1.2, 4000, 0.5, 600],
    ['large', 1.5, 1500, 0.5, 600],
    ['large', 3, 4000, 0, 600],
  ] as const)(
    'raises at most one false alert per 100 vehicle-years: %s, %d L between the marks, every %d km, %d in litres',
    (system, minToMaxL, checkEveryKm, inLitres, vehicles) => {
      const random = seeded(51);
      const { capacityL, noiseL } = SYSTEMS[system];
      let alerts = 0;
      for (let index = 0; index < vehicles; index++) {
        const usualRate = Math.max(0, 0.01 + 0.02 * normal(random));
        const history = {
          km: 60_000,
          checkEveryKm,
          noiseL,
          minToMaxL,
          usualRate,
          leakFromKm: Infinity,
          inLitres,
        };
        alerts += alertsOf(marksHistory(history, random), minToMaxL, capacityL).length;
      }
      expect((100 * alerts) / (2 * vehicles)).toBeLessThanOrEqual(1);
    },
  );

  it.each([
    ['small', 1, 200, 95],
    ['small', 1, 1500, 95],
    ['large', 1.5, 1500, 90],
  ] as const)(
    'finds 0.3 L/1,000 km by words alone: %s, %d L between the marks, every %d km, in %d %% within 7,000 km',
    (system, minToMaxL, checkEveryKm, percent) => {
      const random = seeded(52);
      const { capacityL, noiseL } = SYSTEMS[system];
      let found = 0;
      for (let run = 0; run < 300; run++) {
        const leakFromKm = 5000 + checkEveryKm * (1 + random());
        const history = {
          km: leakFromKm + 7000,
          checkEveryKm,
          noiseL,
          minToMaxL,
          usualRate: 0.01,
          leakFromKm,
          inLitres: 0,
        };
        if (alertsOf(marksHistory(history, random), minToMaxL, capacityL).length > 0) found++;
      }
      expect((100 * found) / 300).toBeGreaterThanOrEqual(percent);
    },
  );
});
