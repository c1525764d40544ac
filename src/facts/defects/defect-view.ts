import type { EntityManager } from 'typeorm';
import { defectCautions, drivingBy, drivingTold } from '../../domain/defects/driving.js';
import type { Defect } from '../../entities/defect.entity.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import type { AttachmentView } from '../attachments/attachment.dto.js';
import { attachmentsOf } from '../attachments/attachments-of.queries.js';
import type {
  DefectCertificateView,
  DefectDecisionView,
  DefectDrivingView,
  DefectView,
} from './defect.dto.js';
import { type DefectParts, partsOf } from './defects.queries.js';

/** Defects as they are shown. The number of statements does not grow with the number of defects. */
export async function shownDefects(
  manager: EntityManager,
  defects: readonly Defect[],
): Promise<DefectView[]> {
  if (defects.length === 0) return [];
  const ids = defects.map(({ id }) => id);
  const parts = new Map((await partsOf(manager, ids)).map((one) => [one.id, one]));
  const attachments = await attachmentsOf(manager, ids, 'defectId');
  return defects.flatMap((defect) => {
    const own = parts.get(defect.id);
    return own === undefined ? [] : viewOf(defect, own, attachments.get(defect.id) ?? []);
  });
}

function viewOf(defect: Defect, parts: DefectParts, attachments: AttachmentView[]): DefectView {
  const { id, vehicleId, state, what, source, component, action, item, reportedBy } = defect;
  const decisions = parts.decisions.map((decision) => ({
    ...decision,
    at: new Date(decision.at).toISOString(),
  }));
  const isOpen = state === 'reported' || state === 'triaged';
  return {
    ...{ id, vehicleId, unitNumber: parts.unitNumber, state, what, source, component, action, item },
    topUp: topUpOf(defect),
    origin: defect.viaLabel ? 'label' : 'account',
    reportedAt: defect.reportedAt.toISOString(),
    receivedAt: defect.receivedAt.toISOString(),
    reportedBy,
    odometer: optionalMeasure('distance', defect.odometerKm),
    engineHours: optionalMeasure('engine-hours', defect.engineHours),
    driving: drivingOf(defect, decisions.at(-1)),
    certificate: certificateOf(defect, parts, decisions.at(-1)),
    decisions,
    followUps: parts.lines,
    attachments,
    cautions: isOpen ? shownMessages(defectCautions()) : [],
  };
}

function topUpOf({ isTopUp, addedL, topUpReadingId: readingId }: Defect): DefectView['topUp'] {
  return isTopUp ? { added: optionalMeasure('volume', addedL), readingId } : null;
}

function drivingOf({ state }: Defect, last: DefectDecisionView | undefined): DefectDrivingView {
  const decision = drivingBy(state, last?.vehicleStays === true);
  const isDecided = state === 'triaged' || state === 'dismissed';
  return {
    decision,
    decidedBy: isDecided ? (last?.decidedBy ?? null) : null,
    at: isDecided ? (last?.at ?? null) : null,
    message: shownMessage(drivingTold(decision)),
  };
}

function certificateOf(
  { state, repairedById }: Defect,
  { performedBy, performedAt }: DefectParts,
  last: DefectDecisionView | undefined,
): DefectCertificateView | null {
  if (state === 'repaired' && performedAt !== null)
    return {
      ...{ outcome: 'repaired', certifiedBy: performedBy, at: performedAt.toISOString() },
      ...{ jobReportId: repairedById, reason: null },
    };
  if (state !== 'dismissed' || last === undefined) return null;
  const { decidedBy: certifiedBy, at, reason } = last;
  return { outcome: 'repair-unnecessary', certifiedBy, at, jobReportId: null, reason };
}
