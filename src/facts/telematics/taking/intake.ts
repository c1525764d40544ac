import type { Intake, Refusal } from '../../../entities/telematics-source.entity.js';

/** How many refusals of one poll or post are kept. */
const REFUSALS_KEPT = 20;

export function emptyIntake(at: Date): Intake {
  return {
    at: at.toISOString(),
    ...{ pages: 0, machines: 0, unknown: 0, ambiguous: 0, repeated: 0, beside: 0 },
    ...{ taken: 0, held: 0, duplicate: 0, passedOver: 0, faults: 0, temperatures: 0 },
    ...{ refused: 0, refusals: [] },
  };
}

/** What is counted, without the instant. */
export type Counts = Omit<Intake, 'at'>;

/** Adds what a page brought. */
export function added(intake: Intake, page: Counts): Intake {
  const sums = Object.fromEntries(
    Object.entries(page).map(([name, count]) => {
      const before = intake[name as keyof Counts];
      return [name, typeof before === 'number' && typeof count === 'number' ? before + count : before];
    }),
  ) as unknown as Counts;
  return { ...intake, ...sums, refusals: kept([...intake.refusals, ...page.refusals]) };
}

/** As many refusals as are kept. */
export function kept(refusals: readonly Refusal[]): Refusal[] {
  return refusals.slice(0, REFUSALS_KEPT);
}
