import { safetyFindings } from '../follow-ups/safety-findings.js';
import type { ReadingRecord, VehicleHistory } from './vehicle-history.js';

/**
 * The failed safety readings with which the vehicle was released for service, settled since or not.
 */
export function readingsReleasedWith({ jobs, readings }: VehicleHistory): Set<string> {
  const released = new Set(jobs.filter(({ isReleased }) => isReleased).map(({ id }) => id));
  const ofJob = new Map<string, ReadingRecord[]>();
  for (const reading of readings ?? []) {
    if (reading.jobId === null || !released.has(reading.jobId)) continue;
    ofJob.set(reading.jobId, [...(ofJob.get(reading.jobId) ?? []), reading]);
  }
  const found = [...ofJob.values()].flatMap((together) =>
    safetyFindings(
      together.map(({ id, canonical, evaluation }) => ({ id, read: canonical, verdict: evaluation.verdict })),
    ),
  );
  return new Set(found.map(({ id }) => id));
}
