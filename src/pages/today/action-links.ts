import { actionsFor, type DecisionAction } from '../../domain/decisions/actions.js';
import type { DecisionKind } from '../../domain/decisions/decisions.js';
import type { Role } from '../../platform/scope/roles.js';
import type { ActionLink } from './today.dto.js';

/** What a link needs to know. */
export interface LinkedMatter {
  kind: DecisionKind;
  id: string;
  /** Null: it is about no single vehicle. */
  vehicleId: string | null;
  /** Of a line with a visit. */
  visit: { id: string; on: string; depotId: string } | null;
}

interface Link {
  method: ActionLink['method'];
  path: (matter: LinkedMatter) => string;
  by: readonly Role[];
}

const READERS: readonly Role[] = ['manager', 'mechanic', 'dashboard'];
const WORKERS: readonly Role[] = ['manager', 'mechanic'];
const MANAGERS: readonly Role[] = ['manager'];

const get = (path: Link['path']): Link => ({ method: 'GET', path, by: READERS });
const post = (by: readonly Role[], path: Link['path']): Link => ({ method: 'POST', path, by });

/** What can be done only to a vehicle. */
const OF_VEHICLE: ReadonlySet<DecisionAction> = new Set(['job-card', 'measure']);

const LINKS: Readonly<Record<DecisionAction, Link>> = {
  'job-card': get(({ vehicleId }) => `/v1/vehicles/${vehicleId}/job-card`),
  'report-job': post(WORKERS, () => '/v1/job-reports'),
  measure: post(WORKERS, ({ vehicleId }) => `/v1/vehicles/${vehicleId}/readings`),
  triage: post(WORKERS, ({ id }) => `/v1/defects/${id}/triage`),
  dismiss: post(WORKERS, ({ id }) => `/v1/defects/${id}/dismiss`),
  'plan-visit': post(MANAGERS, () => '/v1/visit-plans'),
  postpone: post(MANAGERS, ({ id }) => `/v1/due-list/${id}/postpone`),
  acknowledge: post(WORKERS, ({ id }) => `/v1/loss-alerts/${id}/acknowledge`),
  shelve: post(WORKERS, ({ id }) => `/v1/loss-alerts/${id}/shelve`),
  clear: post(MANAGERS, ({ id }) => `/v1/loss-alerts/${id}/clear`),
  accept: post(MANAGERS, ({ id }) => `/v1/usage-readings/${id}/accept`),
  discard: post(MANAGERS, ({ id }) => `/v1/usage-readings/${id}/discard`),
  'read-report': get(({ id }) => `/v1/job-reports/${id}`),
  'read-visit': get(({ visit }) => `/v1/visits/${visit?.id ?? ''}`),
  'pick-list': get(({ visit }) => `/v1/pick-list?depotId=${visit?.depotId ?? ''}&on=${visit?.on ?? ''}`),
  'cancel-visit': post(MANAGERS, ({ visit }) => `/v1/visits/${visit?.id ?? ''}/cancel`),
};

/** The actions that fit a matter and that the role may do, with where to send them. */
export function linksFor(
  matter: LinkedMatter,
  role: Role | null,
  but: readonly DecisionAction[],
): ActionLink[] {
  return actionsFor(matter.kind)
    .filter((action) => !but.includes(action) && (matter.vehicleId !== null || !OF_VEHICLE.has(action)))
    .map((action) => ({ action, ...LINKS[action] }))
    .filter(({ by }) => role !== null && by.includes(role))
    .map(({ action, method, path }) => ({ action, method, path: path(matter) }));
}
