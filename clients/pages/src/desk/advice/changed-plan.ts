import { PLANS } from '../settings/kept/kinds.js';
import type { Advice, Interval, Plan, Present } from './words.js';

/** A plan before and after the change of one of its intervals. */
export interface Change {
  before: readonly Interval[];
  after: readonly Interval[];
}

type Limit = 'everyDistance' | 'everyEngineHours';

const limitBy = (by: Advice['by']): Limit => (by === 'distance' ? 'everyDistance' : 'everyEngineHours');

/** The intervals of a plan with another limit for the duty that the present interval is of. */
export function changed(
  { intervals }: Pick<Plan, 'intervals'>,
  { pointer, duty }: Present,
  by: Advice['by'],
  every: { value: number; unit: string },
): Change {
  const wanted = Number(pointer.split('/').at(-1));
  const limit = limitBy(by);
  const after = intervals.map((interval, index) => {
    if (index !== wanted) return interval;
    if (duty === 'normal') return { ...interval, [limit]: every };
    return { ...interval, severe: { ...interval.severe, [limit]: every } };
  });
  return { before: intervals, after };
}

/** Whether severe duty has no limit of its own, so that it follows that of normal duty. */
export function severeFollows(
  { intervals }: Pick<Plan, 'intervals'>,
  { pointer }: Present,
  by: Advice['by'],
): boolean {
  return intervals[Number(pointer.split('/').at(-1))]?.severe?.[limitBy(by)] == null;
}

/** The plan as it is now, with its version. */
export async function planNow(id: string): Promise<Plan> {
  return (await PLANS.endpoint(id).get()) as unknown as Plan;
}

const bodyOf = (intervals: readonly Interval[]): Record<string, unknown> => ({ intervals });
const tagOf = ({ version }: Pick<Plan, 'version'>): string => `"${version}"`;

/** What the change would do to the due list, in sentences. Changes nothing. */
export async function tried(plan: Plan, { after }: Change): Promise<readonly string[]> {
  const { tryOut } = PLANS.endpoint(plan.id);
  if (tryOut === undefined) throw new Error('plans can be tried out');
  return tryOut(bodyOf(after), tagOf(plan));
}

/** Changes the plan, unless somebody else changed it meanwhile. */
export async function carriedOut(plan: Plan, { after }: Change): Promise<Plan> {
  return (await PLANS.endpoint(plan.id).patch(bodyOf(after), tagOf(plan))) as unknown as Plan;
}
