import fc from 'fast-check';
import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { LossFact } from '../../../../src/domain/loss/facts/types.js';
import { english } from '../../../support/english.js';
import { action, holdTest, job, levelCheck, line, onDay, reportedLow, topUp, vehicle } from '../facts.js';

/** Two top-ups of 0.4 L in a 12 L system: raised on day 10. */
const LOSING: LossFact[] = [topUp('a', 0, 0.4, { km: 0 }), topUp('b', 10, 0.4, { km: 1000 })];
const watch = (events: LossFact[], asOfDay = 500) =>
  watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(asOfDay));

// What a report adds to: common practice, no source.
describe('a low level or pressure that the vehicle reported', () => {
  it('raises no loss alert by itself, however often it comes', () => {
    const days = [0, 5, 10, 20, 40];
    expect(
      watch(
        days.flatMap((day) => [
          reportedLow(`l${day}`, day, 'level'),
          reportedLow(`p${day}`, day, 'pressure'),
        ]),
      ),
    ).toEqual([]);
  });

  it('is evidence for an alert that is open', () => {
    const [alert] = watch([...LOSING, reportedLow('low', 12, 'level'), reportedLow('soft', 13, 'pressure')]);
    expect(alert?.evidence.map(({ factId }) => factId)).toEqual(['a', 'b', 'low', 'soft']);
    expect(alert?.evidence.slice(2).map(({ message }) => english(message))).toEqual([
      'The vehicle reported a low coolant level (SPN 111 FMI 1).',
      'The vehicle reported low coolant pressure (SPN 109 FMI 1).',
    ]);
    // What was computed of the top-ups stays.
    expect(alert?.computed).toMatchObject({ topUps: 2 });
  });

  it('adds nothing to an alert about something else', () => {
    const failed = [holdTest('h', 0), holdTest('i', 10, { verdict: 'fail' })];
    const ids = (events: LossFact[]) =>
      watch(events)
        .find(({ kind }) => kind === 'weakening-hold')
        ?.evidence.map(({ factId }) => factId);
    expect(ids([...failed, reportedLow('low', 12, 'level')])).toEqual(['h', 'i']);
    expect(ids([...failed, reportedLow('soft', 12, 'pressure')])).toEqual(['h', 'i', 'soft']);
  });

  it('after a repair shows that the repair did not hold: no proof before it counts', () => {
    const repair = job('r', 20, [line('lower-hose')], { km: 2000 });
    const proof = holdTest('t', 20, { method: 'pressure', atCapRating: true });
    const status = (events: LossFact[]) => watch([...LOSING, repair, ...events]).map((one) => one.status);
    expect(status([proof])).toEqual(['cleared']);
    expect(status([reportedLow('low', 22, 'level'), { ...proof, at: onDay(23) }])).toEqual(['raised']);
  });

  it('brings an alert back that was cleared a short while ago', () => {
    const cleared = [...LOSING, action(15, 'repeat-top-ups:a', 'clear')];
    const returned = (day: number) =>
      watch([...cleared, reportedLow('low', day, 'level')]).filter((one) => one.returned);
    expect(returned(20).map(({ kind }) => kind)).toEqual(['repeat-top-ups']);
    expect(returned(60)).toEqual([]);
  });

  it('gives the same alerts in any order of arrival', () => {
    const events = [
      ...LOSING,
      ...[reportedLow('low', 12, 'level'), reportedLow('soft', 13, 'pressure'), levelCheck('c', 14, 0.5)],
      action(15, 'repeat-top-ups:a', 'clear'),
      reportedLow('again', 20, 'level'),
    ];
    const expected = watch(events);
    fc.assert(
      fc.property(fc.shuffledSubarray(events, { minLength: events.length }), (shuffled) => {
        expect(watch(shuffled)).toEqual(expected);
      }),
    );
  });
});
