import { v7 as uuidv7 } from 'uuid';
import { idOf as formIdOf, labelOf, open, sendForm } from '../labels.js';
import { paper } from '../pictures.js';
import { INTERVAL_PLAN, type Scenario, SPEC_SHEET } from '../scenario.js';
import type { Answer, FleetHandle, Service } from '../service.js';
import { confirmedVisit, plannedVisits } from '../visit-plans.js';
import { TARGET } from './good-bodies.js';

export type Records = Awaited<ReturnType<typeof recordsOf>>;

/** Creates the records to change: for each action, one on which it can be done once. */
export async function recordsOf(service: Service, fleet: FleetHandle, scenario: Scenario) {
  const { manager, mechanic } = fleet;
  const depotId = made(await manager.post('/v1/depots', { name: 'Changed often' }));
  const sheetId = made(await manager.post('/v1/spec-sheets', { ...SPEC_SHEET, name: 'Changed often' }));
  const planId = made(await manager.post('/v1/interval-plans', { ...INTERVAL_PLAN, name: 'Changed often' }));
  const taken = await manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
  const vehicleId = made(await manager.post('/v1/vehicles', { unitNumber: 'Changed often' }));
  const targetId = made(await manager.post('/v1/reminder-targets', TARGET));
  const personId = made(await manager.post('/v1/people', { name: 'Changed often', role: 'mechanic' }));
  const polled = { kind: 'iso-15143-3', address: 'https://telematics.example.org/Fleet/1' };
  const sourceId = made(await manager.post('/v1/telematics-sources', { name: 'Changed often', ...polled }));
  const polledId = made(await manager.post('/v1/telematics-sources', { name: 'Polled', ...polled }));
  const pushedId = made(await manager.post('/v1/telematics-sources', { name: 'Pushed', kind: 'push' }));
  await manager.post(`/v1/telematics-sources/${pushedId}/reports`, { machines: [{ equipmentId: 'M-1' }] });
  const machines = await manager.get(`/v1/telematics-sources/${pushedId}/machines`);
  const reportOf = async (performedAt: string): Promise<string> =>
    made(
      await mechanic.post('/v1/job-reports', {
        ...{ vehicleId: scenario.vehicleId, performedAt },
        lines: [{ component: 'coolant', action: 'replace' }],
      }),
    );
  const reportId = await reportOf('2026-01-05T10:00:00Z');
  const withFile = await reportOf('2026-01-04T10:00:00Z');
  const attachmentId = made(
    await mechanic.send('POST', `/v1/job-reports/${withFile}/attachments`, paper(2000), {
      'content-type': 'application/pdf',
    }),
  );
  const vehicleFor = async (unitNumber: string): Promise<string> =>
    made(await manager.post('/v1/vehicles', { unitNumber, specSheetId: scenario.specSheetId }));
  /** Creates an accepted and a held reading of a new vehicle. */
  const usageOf = async (unitNumber: string): Promise<{ accepted: string; held: string }> => {
    const vehicle = { vehicleId: await vehicleFor(unitNumber) };
    const { body } = await mechanic.post('/v1/usage-readings', {
      readings: [9000, 9050, 10, 9150].map((value, day) => ({
        ...{ ...vehicle, readAt: `2026-01-0${5 + day}T10:00:00Z`, odometer: { value, unit: 'mi' } },
      })),
    });
    const idOf = (status: string): string => body.results.find((each: any) => each.status === status).id;
    return { accepted: idOf('accepted'), held: idOf('held') };
  };
  const { accepted, held } = await usageOf('Read wrong');
  const { held: heldToo } = await usageOf('Read wrong, too');
  const losing = await vehicleFor('Losing coolant');
  for (const takenAt of ['2026-03-01T12:00:00Z', '2026-03-13T12:00:00Z']) {
    made(
      await mechanic.post(`/v1/vehicles/${losing}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.4, unit: 'L' }, toMark: true, planned: false },
      }),
    );
  }
  const fault = await mechanic.post('/v1/faults', {
    faults: [{ vehicleId: losing, code: 'P0217', seenAt: '2026-03-13T12:00:00Z' }],
  });
  const warm = { vehicleId: losing, readAt: '2026-03-20T12:00:00Z', temperature: { value: 95, unit: 'C' } };
  await mechanic.post('/v1/coolant-temperatures', { samples: [warm] });
  const hotDays = await mechanic.get(`/v1/vehicles/${losing}/coolant-temperatures`);
  made(await manager.post(`/v1/vehicles/${vehicleId}/label`, {}));
  const defectOf = async (what: string): Promise<string> =>
    made(
      await mechanic.post('/v1/defects', {
        ...{ vehicleId: losing, reportedAt: '2026-03-13T12:00:00Z', source: 'driver', what },
      }),
    );
  const defectId = await defectOf('Steam');
  const defectToo = await defectOf('Squeals');
  const label = service.url + (await labelOf(fleet, losing, 'defects-and-top-ups'));
  const toppedUp = formIdOf(await open(label));
  await sendForm(label, { id: toppedUp, trouble: ['coolant-added'] });
  const photoId = made(
    await mechanic.send('POST', `/v1/defects/${defectId}/attachments`, paper(2000), {
      'content-type': 'application/pdf',
    }),
  );
  const alertId = (await mechanic.get('/v1/loss-alerts')).body.items[0].id;
  // The other target is changed, and then hears nothing.
  const hearing = made(await manager.post('/v1/reminder-targets', TARGET));
  const [lineTold = '', ...lines] = await linesThatNoJobTouches(fleet, scenario);
  const reminderId = await lostReminder(service, hearing, lineTold);
  const driven = await lineOfDrivenVehicle(fleet, scenario);
  const { visitIds } = await confirmedVisit(service, fleet);
  // One is cancelled; to the other, people are assigned.
  const [visitId = '', visitToAssign = ''] = visitIds;
  expect(visitToAssign).not.toBe('');
  const imported = await manager.send('POST', '/v1/vehicles/import', 'unitNumber\nImported', {
    'content-type': 'text/csv',
  });
  const sheet = await manager.send('POST', '/v1/spreadsheets', 'unitNumber,make\nUploaded,Alder', {
    'content-type': 'text/csv',
  });
  const another = await manager.post('/v1/vehicles', {
    ...{ unitNumber: 'To be planned', depotId: scenario.depotId, intervalPlanId: scenario.intervalPlanId },
    inServiceOn: '2021-03-15',
  });
  expect(another.status).toBe(201);
  const [proposed, again, toConfirm] = [
    await plannedVisits(service, fleet),
    await plannedVisits(service, fleet),
    await plannedVisits(service, fleet),
  ];
  const booking = await manager.post('/v1/vehicles', {
    ...{ unitNumber: 'To be booked', depotId: scenario.depotId, intervalPlanId: scenario.intervalPlanId },
    inServiceOn: '2021-03-15',
  });
  expect(booking.status).toBe(201);
  const toBook = await manager.get(`/v1/due-list?vehicleId=${booking.body.id}`);
  return {
    starter: taken.body.items[0],
    toBook: { id: toBook.body.items[0].id as string, depotId: scenario.depotId },
    ...{
      depotId,
      sheetId,
      planId,
      vehicleId,
      targetId,
      reportId,
      withFile,
      attachmentId,
      accepted,
      held,
      heldToo,
    },
    ...{ personId, sourceId, pushedId, polledId, machineId: machines.body.items[0].id as string },
    mappedVehicleId: scenario.vehicleId,
    faultId: fault.body.faults[0].id as string,
    hotDayId: hotDays.body.items[0].id as string,
    ...{ defectId, defectToo, toppedUp, photoId },
    ...{
      alertId,
      reminderId,
      lines,
      driven,
      visitId,
      visitToAssign,
      importId: imported.body.importId as string,
      spreadsheetId: made(sheet),
    },
    ...{ proposed, again, toConfirm },
  };
}

export function made({ status, body }: Answer): string {
  expect([status, body.errors]).toEqual([201, undefined]);
  return body.id;
}

/**
 * Returns late lines of vehicles that nothing else is posted about, because a job would restart
 * them.
 */
async function linesThatNoJobTouches(fleet: FleetHandle, scenario: Scenario): Promise<string[]> {
  const ids: string[] = [];
  for (let index = 0; index < 12; index++) {
    const vehicle = { unitNumber: `Left alone ${index}`, intervalPlanId: scenario.intervalPlanId };
    const { body } = await fleet.manager.post('/v1/vehicles', { ...vehicle, inServiceOn: '2021-03-15' });
    const late = await fleet.mechanic.get(`/v1/due-list?state=late&vehicleId=${body.id}`);
    ids.push(...late.body.items.map((line: any) => line.id));
  }
  return ids;
}

/** Returns a late line that is also counted in miles, of a vehicle known to run 40 a day. */
async function lineOfDrivenVehicle(fleet: FleetHandle, scenario: Scenario): Promise<string> {
  const vehicleId = made(
    await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'Driven', intervalPlanId: scenario.intervalPlanId, inServiceOn: '2024-01-01' },
      inServiceOdometer: { value: 0, unit: 'mi' },
      expectedDailyDistance: { value: 40, unit: 'mi' },
    }),
  );
  await fleet.mechanic.post('/v1/usage-readings', {
    readings: [{ vehicleId, readAt: '2026-04-01T10:00:00Z', odometer: { value: 14_900, unit: 'mi' } }],
  });
  return (await fleet.mechanic.get(`/v1/due-list?state=late&vehicleId=${vehicleId}`)).body.items[0].id;
}

/** Returns a reminder of a late line that could not be delivered. */
async function lostReminder(service: Service, targetId: string, lineId: string): Promise<string> {
  const id = uuidv7();
  await service.database.admin.query(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
     select fleet_id, $2, $3, id, cycle, 'late', 'undelivered', now(), now() from due_lines where id = $1`,
    [lineId, id, targetId],
  );
  return id;
}
