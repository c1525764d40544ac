import type { Moment } from '../balance/moments.js';
import type { LossAlertKind, LossEvidence, ReportedLowFact } from '../facts/types.js';
import { message } from '../messages.js';

/** Which alerts a report of the vehicle adds to; common practice. */
const ADDS_TO: Record<ReportedLowFact['what'], readonly LossAlertKind[]> = {
  level: ['repeat-top-ups', 'rising-loss', 'unrecorded-water'],
  pressure: ['repeat-top-ups', 'rising-loss', 'weakening-hold'],
};

/**
 * A low level or a low pressure that the vehicle reported, as evidence for an alert of a kind. It
 * raises none by itself: a level sensor says that coolant is missing, and not how much or since
 * when. Its own follow-up asks for a look at once.
 *
 * @returns null for any other fact, and for an alert that it says nothing about
 */
export function reportedLow(kind: LossAlertKind, { fact }: Moment): LossEvidence | null {
  if (fact.kind !== 'reported-low' || !ADDS_TO[fact.what].includes(kind)) return null;
  const { id: factId, at, what, code } = fact;
  return {
    ...{ factId, kind: fact.kind, at },
    message: message(`loss-vehicle-reports-low-${what}`, { code }),
    computed: { code },
  };
}
