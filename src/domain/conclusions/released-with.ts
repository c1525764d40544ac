import { safetyFindings } from '../follow-ups/safety-findings.js';
import type { ReadingRecord, VehicleHistory } from './vehicle-history.js';

/**
 * The failed safety readings despite which the vehicle was released for service, settled since or
 * not.
 */
export function readingsReleasedWith({ jobs, readings }: VehicleHistory): Set<string> {
  const released = new Map(jobs.flatMap((job) => (job.isReleased ? [[job.id, job.lines] as const] : [])));
  const ofJob = new Map<string, ReadingRecord[]>();
  for (const reading of readings ?? []) {
    if (reading.jobId === null || !released.has(reading.jobId)) continue;
    ofJob.set(reading.jobId, [...(ofJob.get(reading.jobId) ?? []), reading]);
  }
  const found = [...ofJob].flatMap(([jobId, together]) =>
    safetyFindings(released.get(jobId) ?? [], together),
  );
  return new Set(found.map(({ id }) => id));
}
