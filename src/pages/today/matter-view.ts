import type { Decision } from '../../domain/decisions/decisions.js';
import { FAILED_REPORT_DAYS } from '../../domain/decisions/decisions.js';
import { message } from '../../domain/decisions/messages.js';
import { inCircuit, workTerm } from '../../domain/intervals/terms.js';
import type { Action, Component } from '../../domain/intervals/types.js';
import type { LossAlertKind } from '../../domain/loss/facts/types.js';
import type { Message } from '../../domain/message.js';
import type { DueLineView } from '../../conclusions/due-list/due-line-view.js';
import type { LossAlertRow } from '../../conclusions/loss-alerts/loss-alerts.queries.js';
import type { Role } from '../../platform/scope/roles.js';
import type { MessageView } from '../../platform/words/message.dto.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import { alertTerm } from '../../platform/words/terms.js';
import type { ReleasedWithFindingsView } from '../../register/vehicles/vehicle.dto.js';
import { linksFor } from './action-links.js';
import type { MatterView } from './today.dto.js';
import type { OtherRow } from './today.queries.js';

/** What was read of the matters of a page, by id. */
export interface KnownOfPage {
  asOf: string;
  lines: ReadonlyMap<string, DueLineView>;
  alerts: ReadonlyMap<string, LossAlertRow>;
  others: ReadonlyMap<string, OtherRow>;
  /** By vehicle. */
  released: ReadonlyMap<string, ReleasedWithFindingsView>;
}

interface Matter extends Decision {
  vehicleId: string;
}

/** A matter with its reasons and with what the role may do about it. */
export function matterView(matter: Matter, known: KnownOfPage, role: Role | null): MatterView {
  const { kind, since, id, vehicleId } = matter;
  const line = known.lines.get(id);
  const visit =
    line?.visit == null || line.vehicle.depotId === null
      ? null
      : { ...line.visit, depotId: line.vehicle.depotId };
  // A line that is postponed or planned already is not postponed or planned again.
  const but = [
    ...(line?.postponedUntil == null ? [] : (['postpone'] as const)),
    ...(line?.visit == null ? [] : (['plan-visit'] as const)),
  ];
  return {
    ...{ kind, since, id },
    reasons: reasonsOf(matter, known),
    actions: linksFor({ kind, id, vehicleId, visit }, role, but),
  };
}

/** An alert about no single vehicle, with its reasons and with what the role may do about it. */
export function fleetMatter(alert: LossAlertRow, role: Role | null): MatterView {
  const { id } = alert;
  const kind = 'loss-alert';
  return {
    ...{ kind, id, since: alert.raisedAt.toISOString() },
    reasons: reasonsOfAlert(alert),
    actions: linksFor({ kind, id, vehicleId: null, visit: null }, role, []),
  };
}

function reasonsOf({ kind, id, vehicleId }: Matter, known: KnownOfPage): MessageView[] {
  const line = known.lines.get(id);
  const other = known.others.get(id);
  switch (kind) {
    case 'released-with-findings': {
      const released = known.released.get(vehicleId);
      return released === undefined ? [] : [released.message];
    }
    case 'at-once':
      return line ? [said(message('decision-at-once', { work: workOf(line) })), ...line.causes] : [];
    case 'late':
      return line
        ? [said(message('decision-late', { work: workOf(line), dueOn: line.dueOn ?? '' })), ...line.causes]
        : [];
    case 'visit': {
      const on = line?.visit?.on ?? known.asOf;
      return [said(message('decision-visit', { isMissed: on < known.asOf ? 'yes' : 'no', on }))];
    }
    case 'loss-alert':
      return reasonsOfAlert(known.alerts.get(id));
    case 'defect':
      return [said(message('decision-defect', { what: other?.what ?? '' }))];
    case 'failed-report':
      return [said(message('decision-failed-report', { on: other?.on ?? '', days: FAILED_REPORT_DAYS }))];
    case 'held-reading':
      return [said(message('decision-held-reading')), ...(other?.detail == null ? [] : [said(other.detail)])];
  }
}

function reasonsOfAlert(alert: LossAlertRow | undefined): MessageView[] {
  if (alert === undefined) return [];
  const term = inCircuit(alertTerm(alert.kind as LossAlertKind), alert.namedCircuit);
  return [said(message('decision-loss-alert', { alert: term })), ...shownMessages(alert.checkNext)];
}

const said = (what: Message): MessageView => shownMessage(what);

function workOf({ component, action, item, circuit }: DueLineView): Message {
  return workTerm({ component: component as Component, action: action as Action, item, circuit });
}
