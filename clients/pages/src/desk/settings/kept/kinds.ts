import type { components, WeepholeClient } from '../../../../../typescript/src/client.js';
import { service } from '../../../kit/service/session.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Endpoint, Kept } from '../../record-form/use-record.js';
import type { Shape } from '../../record-form/shape.js';
import { message } from './messages.js';
import { PLAN } from './plan-shape.js';
import { SHEET } from './sheet-shape.js';

type Sheet = components['schemas']['SpecSheetView'];
type Plan = components['schemas']['IntervalPlanView'];
type DryRun = components['schemas']['IntervalPlanDryRun'];

/** A spec sheet or an interval plan, as the service has it. */
export type KeptRecord = Kept & Pick<Sheet, 'id' | 'name' | 'starter'>;

/** What a spec sheet and an interval plan have in common for whoever edits them. */
export interface Kind {
  what: 'sheet' | 'plan';
  /** Where those of the kind are, on the desk. */
  address: string;
  shape: Shape;
  load: (client: WeepholeClient, id: string, signal?: AbortSignal) => Promise<KeptRecord>;
  endpoint: (id: string) => Endpoint;
  create: (body: Record<string, unknown>) => Promise<KeptRecord>;
  confirm: (id: string) => Promise<unknown>;
  remove: (id: string) => Promise<unknown>;
}

const kept = (record: Sheet | Plan): KeptRecord => record;

/** What the change of a plan does to the due list, in sentences. */
function consequences(tried: DryRun): string[] {
  const { wouldComeDue, wouldNotBeDue, wouldBecomeLate, wouldMoveEarlier, wouldMoveLater } = tried;
  const said = [
    wouldComeDue > 0 && message('desk-plan-come-due', { count: wouldComeDue, late: wouldBecomeLate }),
    wouldNotBeDue > 0 && message('desk-plan-not-due', { count: wouldNotBeDue }),
    wouldMoveEarlier > 0 && message('desk-plan-earlier', { count: wouldMoveEarlier }),
    wouldMoveLater > 0 && message('desk-plan-later', { count: wouldMoveLater }),
    tried.wouldBegin > 0 && message('desk-plan-begin', { count: tried.wouldBegin }),
    tried.wouldEnd > 0 && message('desk-plan-end', { count: tried.wouldEnd }),
  ].filter((one) => one !== false);
  return (said.length > 0 ? said : [message('desk-plan-no-line')]).map(tell);
}

export const PLANS: Kind = {
  ...{ what: 'plan', address: '/settings/plans', shape: PLAN },
  load: async (client, id, signal) =>
    kept((await client.get('/v1/interval-plans/{id}', { path: { id }, signal })).data),
  endpoint: (id) => ({
    get: () => PLANS.load(service(), id),
    patch: async (body, ifMatch) => {
      const request = { path: { id }, body, ifMatch };
      return kept((await service().patch('/v1/interval-plans/{id}', request)).data as Plan);
    },
    tryOut: async (body, ifMatch) => {
      const request = { path: { id }, query: { dryRun: 'true' as const }, body, ifMatch };
      return consequences((await service().patch('/v1/interval-plans/{id}', request)).data as DryRun);
    },
  }),
  create: async (body) => kept((await service().post('/v1/interval-plans', { body: body as never })).data),
  confirm: (id) => service().post('/v1/interval-plans/{id}/confirm', { path: { id } }),
  remove: (id) => service().delete('/v1/interval-plans/{id}', { path: { id } }),
};

export const SHEETS: Kind = {
  ...{ what: 'sheet', address: '/settings/sheets', shape: SHEET },
  load: async (client, id, signal) =>
    kept((await client.get('/v1/spec-sheets/{id}', { path: { id }, signal })).data),
  endpoint: (id) => ({
    get: () => SHEETS.load(service(), id),
    patch: async (body, ifMatch) => {
      const request = { path: { id }, body, ifMatch };
      return kept((await service().patch('/v1/spec-sheets/{id}', request)).data);
    },
    tryOut: () => Promise.resolve([tell(message('desk-sheet-from-now'))]),
  }),
  create: async (body) => kept((await service().post('/v1/spec-sheets', { body: body as never })).data),
  confirm: (id) => service().post('/v1/spec-sheets/{id}/confirm', { path: { id } }),
  remove: (id) => service().delete('/v1/spec-sheets/{id}', { path: { id } }),
};
