import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { LossFact } from '../../../../src/domain/loss/facts/types.js';
import { englishIn } from '../../../support/english.js';
import { holdTest, job, line, onDay, vehicle } from '../facts.js';

/**
 * Vacuum tests a month apart with these rates, in kPa/min; 0.677 is allowed, each ± 0.276 (see
 * `holdTest`).
 */
function tests(rates: readonly number[], more: Parameters<typeof holdTest>[2] = {}): LossFact[] {
  return rates.map((ratePerMinuteKpa, month) =>
    holdTest(`h${month}`, 30 * month, { ratePerMinuteKpa, verdict: null, ...more }),
  );
}

function raisedBy(events: LossFact[]) {
  return watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(1000)).map(
    (episode) => `${episode.key} at ${episode.raisedAt}`,
  );
}

describe('a weakening hold', () => {
  const rising = [0.05, 0.15, 0.25, 0.4, 0.5];
  const cases: { name: string; events: LossFact[]; raised: string[] }[] = [
    {
      // S = 10 of 10 pairs; exact p = 1/5! = 0.00833 < 0.01. Rise 0.45 > √2·0.276 = 0.390; 0.5 >
      // 0.677/2.
      name: 'is found at the fifth of five rising rates',
      events: tests(rising),
      raised: [`weakening-hold:h0 at ${onDay(120)}`],
    },
    { name: 'is not found in four', events: tests(rising.slice(1)), raised: [] },
    {
      // One pair falls: S = 8, exact p = 5/120 = 0.0417.
      name: 'is not found where one of the five falls',
      events: tests([0.05, 0.25, 0.15, 0.4, 0.5]),
      raised: [],
    },
    {
      name: 'is not found where the rise is within the uncertainty of a difference (0.38 < 0.390)',
      events: tests([0.12, 0.2, 0.3, 0.4, 0.5]),
      raised: [],
    },
    {
      name: 'is not found while the rate is below half of the allowed one',
      events: tests([-0.1, 0.05, 0.1, 0.2, 0.33]),
      raised: [],
    },
    {
      name: 'is not found in rates that the temperature may have made',
      events: tests(rising).map((test, month) =>
        month === 4
          ? holdTest('warm', 120, {
              ratePerMinuteKpa: 0.5,
              verdict: 'inconclusive',
              temperatureInDoubt: true,
            })
          : test,
      ),
      raised: [],
    },
    {
      name: 'is found by a fail in spite of the temperature, which counts',
      events: [
        ...tests(rising.slice(0, 4)),
        holdTest('warm', 120, { ratePerMinuteKpa: 1.5, verdict: 'fail', temperatureInDoubt: true }),
      ],
      raised: [`weakening-hold:h0 at ${onDay(120)}`],
    },
    { name: 'is not found in falling rates', events: tests([0.9, 0.8, 0.7, 0.6, 0.5]), raised: [] },
    {
      name: 'does not mix methods',
      events: tests(rising).map((test, month) =>
        month === 2 ? holdTest('p', 60, { method: 'pressure', ratePerMinuteKpa: 0.25, verdict: null }) : test,
      ),
      raised: [],
    },
    {
      name: 'begins anew with a repair',
      events: [...tests(rising), job('j', 61, [line('thermostat')])],
      raised: [],
    },
    {
      name: 'goes on over a job that repaired nothing',
      events: [...tests(rising), job('j', 61, [line('coolant')])],
      raised: [`weakening-hold:h0 at ${onDay(120)}`],
    },
    {
      name: 'is a fail after a pass',
      events: [
        holdTest('a', 0),
        holdTest('b', 30, { verdict: 'inconclusive' }),
        holdTest('c', 60, { verdict: 'fail' }),
      ],
      raised: [`weakening-hold:a at ${onDay(60)}`],
    },
    {
      name: 'is not a fail after a pass with a cooling job in between',
      events: [holdTest('a', 0), job('j', 30, [line('water-pump')]), holdTest('c', 60, { verdict: 'fail' })],
      raised: [],
    },
    {
      name: 'is not a fail after a pass with a clamp tightened in between',
      events: [
        holdTest('a', 0),
        job('j', 30, [line('hose-clamp', 'adjust')]),
        holdTest('c', 60, { verdict: 'fail' }),
      ],
      raised: [],
    },
    {
      name: 'is a fail after a pass with only an inspection in between',
      events: [
        holdTest('a', 0),
        job('j', 60, [line('coolant', 'test')]),
        holdTest('c', 60, { verdict: 'fail' }),
      ],
      raised: [`weakening-hold:a at ${onDay(60)}`],
    },
    {
      name: 'is not a vacuum fail after a pressure pass',
      events: [holdTest('a', 0, { method: 'pressure' }), holdTest('c', 60, { verdict: 'fail' })],
      raised: [],
    },
    { name: 'is not a first fail', events: [holdTest('c', 60, { verdict: 'fail' })], raised: [] },
  ];
  it.each(cases)('$name', ({ events, raised }) => {
    expect(raisedBy(events)).toEqual(raised);
  });

  // 0.5 kPa/min is 5 kPa or 1.48 inHg in 10 min, 0.677 kPa/min 6.77 kPa or 2.00 inHg (1 inHg =
  // 3.38639 kPa, NIST SP 811).
  it.each([
    ['us', 'Vacuum test, failed. In 10 minutes it would lose 1.5 inHg; 2 inHg is allowed.'],
    ['si', 'Vacuum test, failed. In 10 minutes it would lose 5 kPa; 6.8 kPa is allowed.'],
  ] as const)('is told in %s as a gauge shows it', (units, words) => {
    const events = [holdTest('a', 0), holdTest('c', 60, { verdict: 'fail', ratePerMinuteKpa: 0.5 })];
    const [episode] = watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(1000));
    expect(episode?.evidence.map(({ message }) => englishIn(units, message)).at(-1)).toBe(words);
    expect(episode?.evidence.at(-1)?.computed).toMatchObject({
      ratePerMinuteKpa: 0.5,
      allowedRateKpa: 0.677,
    });
  });

  it('says S and its exact probability', () => {
    const [episode] = watchVehicle(vehicle(tests(rising)), LOSS_DEFAULTS, onDay(1000));
    expect(episode?.computed).toMatchObject({
      tests: 5,
      mannKendallS: 10,
      oneSidedP: expect.closeTo(1 / 120, 12),
    });
  });
});
