import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { Transactions } from '../../src/platform/database/transactions.js';
import { PlanSolvingService } from '../../src/planning/visit-plans/plan-solving.service.js';
import type { FleetHandle, Service } from './service.js';

/**
 * Requests a visit plan over HTTP and solves it with the worker's own service, for tests without a
 * worker.
 */
export async function plannedVisits(
  service: Service,
  { fleetId, manager }: FleetHandle,
  body: object = {},
): Promise<any> {
  const today = service.clock.now().toISOString().slice(0, 10);
  const to = new Date(service.clock.now().getTime() + 27 * 86_400_000).toISOString().slice(0, 10);
  const asked = await manager.post('/v1/visit-plans', {
    ...{ from: today, to, labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50, ...body },
  });
  if (asked.status !== 201) throw new Error(`${asked.status} ${JSON.stringify(asked.body)}`);
  await solveAsWorker(service, fleetId, asked.body.id);
  return (await manager.get(`/v1/visit-plans/${asked.body.id}`)).body;
}

/** Solves a plan that was asked for, as the worker does. */
export async function solveAsWorker(
  { app, clock, config }: Service,
  fleetId: string,
  planId: string,
  round = 1,
): Promise<void> {
  const dataSource = app.get<DataSource>(getDataSourceToken());
  const solving = new PlanSolvingService(dataSource, app.get(Transactions, { strict: false }), clock, config);
  await solving.solve(fleetId, planId, round);
}

/** Returns a confirmed plan, the first of its visits, and all of them. */
export async function confirmedVisit(
  service: Service,
  fleet: FleetHandle,
): Promise<{ planId: string; visitId: string; visitIds: string[] }> {
  const plan = await plannedVisits(service, fleet);
  const { status, body } = await fleet.manager.post(`/v1/visit-plans/${plan.id}/confirm`);
  if (status !== 200) throw new Error(`${status} ${JSON.stringify(body)}`);
  const visitIds = plan.visits.map(({ id }: { id: string }) => id);
  return { planId: plan.id, visitId: visitIds[0], visitIds };
}
