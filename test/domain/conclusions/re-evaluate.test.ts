import { latestStrength } from '../../../src/domain/conclusions/re-evaluate.js';
import type { JobRecord, ReadingRecord } from '../../../src/domain/conclusions/vehicle-history.js';

const AT = Date.parse('2026-03-01T18:00:00Z');

const job = {
  ...{ id: 'job', at: AT, isBaseline: false, isReleased: true },
  ...{ odometerLifetimeKm: null, engineHoursLifetime: null },
  lines: [
    { component: 'coolant', action: 'replace', item: null, failed: false, lot: null, partNumber: null },
  ],
} as JobRecord;

/** As much of a reading as tells what coolant it was read of. */
const reading = (kind: 'freeze-point' | 'fill', position: number | null, at = AT): ReadingRecord =>
  ({
    ...{ id: `${kind} ${position} ${at}`, kind, at, position },
    jobId: position === null ? null : 'job',
  }) as ReadingRecord;

const latestOf = (readings: ReadingRecord[], jobs = [job]) =>
  latestStrength({ jobs, readings }, AT + 1)?.id ?? null;

describe('the latest strength of the coolant in a system', () => {
  it('is that which was read after the fill of the same job', () => {
    const before = reading('freeze-point', 0);
    const fill = reading('fill', 1);
    const after = reading('freeze-point', 2);
    expect(latestOf([fill, after])).toBe(after.id);
    expect(latestOf([before, fill, after])).toBe(after.id);
  });

  it('is not known where it was read before the fill alone', () => {
    expect(latestOf([reading('freeze-point', 0), reading('fill', 1)])).toBeNull();
    expect(latestOf([reading('freeze-point', 0), reading('fill', 1)], [])).toBeNull();
  });

  it('is not known where it was read before the coolant was replaced', () => {
    expect(latestOf([reading('freeze-point', null, AT - 1)])).toBeNull();
    const since = reading('freeze-point', null, AT + 1);
    expect(latestOf([since])).toBe(since.id);
  });
});
