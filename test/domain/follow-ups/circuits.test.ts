import fc from 'fast-check';
import type { Verdict } from '../../../src/domain/evaluation/evaluation.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { ReadingKind } from '../../../src/domain/readings/kinds.js';
import type { CircuitName } from '../../../src/domain/vehicles/circuits.js';
import { DAY } from '../intervals/due-fixtures.js';
import { job, reading, T } from './follow-up-facts.js';

const CIRCUITS: (CircuitName | null)[] = [null, 'battery', 'cabin'];

describe('follow-ups in several circuits', () => {
  const someLine = fc.record({
    line: fc.constantFrom('coolant/replace', 'coolant/flush', 'radiator-cap/replace', 'coolant/test'),
    circuit: fc.constantFrom(...CIRCUITS),
  });
  const someJob = fc.record({ day: fc.nat(20), lines: fc.array(someLine, { maxLength: 3 }) });
  const someReading = fc.record({
    day: fc.nat(20),
    kind: fc.constantFrom<ReadingKind[]>(
      ...(['hold-test', 'freeze-point', 'level-check', 'fill', 'cap-test', 'conductivity'] as const),
    ),
    verdict: fc.constantFrom<Verdict[]>('pass', 'fail', 'inconclusive'),
    circuit: fc.constantFrom(...CIRCUITS),
  });

  it('are those of each circuit by itself', () => {
    fc.assert(
      fc.property(
        fc.array(someJob, { maxLength: 5 }),
        fc.array(someReading, { maxLength: 12 }),
        (jobs, readings) => {
          const allJobs = jobs.map(({ day, lines }, n) => {
            const made = job(
              `j${n}`,
              T + day * DAY,
              lines.map(({ line }) => line),
            );
            return {
              ...made,
              lines: made.lines.map((line, at) => ({ ...line, circuit: lines[at]!.circuit })),
            };
          });
          const all = readings.map(({ day, kind, verdict, circuit }, n) =>
            reading(`r${n}`, T + day * DAY, kind, verdict, { circuit }),
          );
          const told = (open: ReturnType<typeof followUpsOf>, circuit: CircuitName | null) =>
            open
              .filter((line) => (line.circuit ?? null) === circuit)
              .map(({ component, action, sourceId, openedAt }) =>
                [component, action, sourceId, openedAt].join(),
              );
          const open = followUpsOf(allJobs, all);
          for (const circuit of CIRCUITS) {
            const alone = followUpsOf(
              allJobs.map((one) => ({
                ...one,
                lines: one.lines
                  .filter((line) => line.circuit === circuit)
                  .map((line) => ({ ...line, circuit: null })),
              })),
              all.filter((one) => one.circuit === circuit).map((one) => ({ ...one, circuit: null })),
            );
            expect(told(open, circuit).sort()).toEqual(told(alone, null).sort());
          }
        },
      ),
    );
  });
});
