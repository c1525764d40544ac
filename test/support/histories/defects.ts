import fc from 'fast-check';
import { type Fleet, taken } from './fleet.js';
import { DAY, NOW } from './ways.js';
import { DEFECT_WORK } from './work.js';

/** What people decide about one of the defects, or that a report says it was repaired. */
export const defectActionArb = fc.record({
  which: fc.nat(10),
  decide: fc.constantFrom('triage', 'triage', 'dismiss', 'repair'),
  work: fc.nat(DEFECT_WORK.length - 1),
  inDays: fc.option(fc.nat(60), { nil: null }),
  daysAgo: fc.nat(100),
});
export type DefectAction = typeof defectActionArb extends fc.Arbitrary<infer T> ? T : never;

/** A repaired defect cannot be decided about, and one cannot be dismissed twice. */
export async function decideDefect(
  { handle: { mechanic }, service }: Fleet,
  { which, decide, work, inDays, daysAgo }: DefectAction,
): Promise<void> {
  const { items } = taken(await mechanic.get('/v1/defects')).body;
  const defect = items[which % Math.max(1, items.length)];
  if (defect === undefined) return;
  if (decide === 'repair') {
    const performedAt = new Date(NOW - daysAgo * DAY).toISOString();
    const signed = { performedAt, performedBy: 'badge 9', repairedDefects: [defect.id] };
    taken(await mechanic.post('/v1/job-reports', { vehicleId: defect.vehicleId, ...signed }));
    return;
  }
  const dueOn =
    inDays === null
      ? null
      : new Date(service.clock.now().getTime() + inDays * DAY).toISOString().slice(0, 10);
  const body = {
    triage: { ...DEFECT_WORK[work], dueOn, vehicleStays: inDays === null },
    dismiss: { reason: `looked at with ${inDays}` },
  }[decide];
  const { status } = await mechanic.post(`/v1/defects/${defect.id}/${decide}`, {
    decidedBy: 'badge 7',
    ...body,
  });
  expect([200, 409]).toContain(status);
}
