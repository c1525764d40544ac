import type { HeldPart } from '../../entities/job-report.entity.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import { signedInName } from '../../platform/scope/fleet-scope.js';
import type { JobReportInput } from './job-report.dto.js';
import { message } from './messages.js';

/** The defects that a report says were repaired, as far as it can say so. */
interface RepairedDefects {
  good: string[];
  faults: FieldFault[];
  /** The same as the faults, for a report of which the rest is kept. */
  held: HeldPart[];
}

/**
 * Sorts the defects that a report names as repaired. Each has to be a defect of the vehicle. The
 * report certifies the repairs (49 CFR 396.11(a)(3)(ii)), so it has to say who did the work.
 *
 * @param known those of them that the vehicle has
 */
export function repairedDefectsOf(
  { repairedDefects, performedBy }: JobReportInput,
  known: readonly string[],
): RepairedDefects {
  const ids = (repairedDefects ?? []).map((id) => id.toLowerCase());
  const isSigned = (performedBy ?? signedInName() ?? '').trim() !== '';
  const sorted: RepairedDefects = { good: [], faults: [], held: [] };
  for (const [index, id] of ids.entries()) {
    const pointer = `/repairedDefects/${index}`;
    const detail = known.includes(id) ? message('job-repair-without-name') : message('job-defect-unknown');
    if (known.includes(id) && isSigned) sorted.good.push(id);
    else sorted.held.push({ pointer, faults: [{ pointer, message: detail }], value: id });
    if (!known.includes(id)) sorted.faults.push({ pointer, detail });
  }
  if (ids.length > 0 && !isSigned)
    sorted.faults.push({ pointer: '/performedBy', detail: message('job-repair-without-name') });
  return { ...sorted, good: [...new Set(sorted.good)] };
}
