import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import type { LossAlertView } from './loss-alert.dto.js';
import type { LossAlertRow } from './loss-alerts.queries.js';

/** Shows an alert. The presenter converts its measures to the reader's units. */
export function lossAlertView(row: LossAlertRow): LossAlertView {
  const { id, kind, status, members, clearedBy, returned, evidence, computed, checkNext, cautions } = row;
  return {
    id,
    kind,
    circuit: row.namedCircuit ?? undefined,
    status,
    members,
    clearedBy,
    returned,
    evidence: evidence.map((entry) => ({ ...entry, message: shownMessage(entry.message) })),
    computed,
    checkNext: shownMessages(checkNext),
    cautions: shownMessages(cautions),
    vehicle:
      row.vehicleId === null
        ? null
        : { id: row.vehicleId, unitNumber: row.unitNumber ?? '', depotId: row.depotId },
    raisedAt: row.raisedAt.toISOString(),
    clearedAt: row.clearedAt?.toISOString() ?? null,
    shelvedUntil: row.shelvedUntil?.toISOString() ?? null,
    standing: row.isStanding,
  };
}
