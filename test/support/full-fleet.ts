import { v7 as uuidv7 } from 'uuid';
import { signedIn } from './browser-client.js';
import { goodJob, postScenario } from './scenario.js';
import type { FleetHandle, Service } from './service.js';
import { confirmedVisit } from './visit-plans.js';

/**
 * Gives a fleet some of everything: through the API where possible, otherwise written as a sweep
 * would.
 */
export async function fillFleet(service: Service, fleet: FleetHandle, prefix: string): Promise<void> {
  const { manager, mechanic, fleetId } = fleet;
  const { vehicleId, depotId } = await postScenario(fleet, { unitNumber: `${prefix}1` });
  await mechanic.post('/v1/usage-readings', {
    readings: [{ vehicleId, readAt: '2026-03-01T10:00:00Z', odometer: { value: 9000, unit: 'mi' } }],
  });
  await manager.send(
    'POST',
    '/v1/usage-readings/import',
    `unit,readAt,odometer\n${prefix}1,2026-03-01T11:00:00Z,9001`,
    { 'content-type': 'text/csv' },
  );
  const sheet = await manager.send('POST', '/v1/spreadsheets', `unit,make\n${prefix}-S,Alder`, {
    'content-type': 'text/csv',
  });
  await manager.post(`/v1/spreadsheets/${sheet.body.id}/take?keep=true`);
  const pump = (await manager.get('/v1/due-list?state=late&component=water-pump')).body.items[0];
  await manager.post(`/v1/due-list/${pump.id}/postpone`, { until: '2026-05-01', reason: 'no part' });
  const job = await mechanic.post('/v1/job-reports', goodJob(vehicleId, '2026-03-02T10:00:00Z', 9010), {
    'idempotency-key': 'once',
  });
  for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z']) {
    await mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
    });
  }
  await mechanic.post('/v1/faults', {
    faults: [{ vehicleId, code: 'SPN 111 FMI 17', seenAt: '2026-03-10T12:00:00Z' }],
  });
  await mechanic.post('/v1/coolant-temperatures', {
    samples: ['12:00', '12:10', '12:20'].map((time) => ({
      ...{ vehicleId, readAt: `2026-03-20T${time}:00Z`, temperature: { value: 95, unit: 'C' } },
    })),
  });
  const defect = await mechanic.post('/v1/defects', {
    ...{ vehicleId, reportedAt: '2026-03-12T12:00:00Z', source: 'driver', what: 'Belt squeals' },
  });
  await mechanic.post(`/v1/defects/${defect.body.id}/dismiss`, {
    decidedBy: 'badge 7',
    reason: 'dry bearing',
  });
  await manager.post(`/v1/vehicles/${vehicleId}/label`);
  // A colder winter than the one for which the job's freeze point was judged.
  await manager.patch(`/v1/depots/${depotId}`, { designLowTemperature: { value: -45, unit: 'C' } });
  await mechanic.get('/v1/due-list/summary');
  const alerts = await mechanic.get('/v1/loss-alerts');
  await mechanic.post(`/v1/loss-alerts/${alerts.body.items[0].id}/acknowledge`);
  const target = await manager.post('/v1/reminder-targets', {
    ...{ kind: 'webhook', address: 'http://127.0.0.1:9/' },
  });
  const person = await manager.post('/v1/people', {
    ...{ name: `${prefix}Kim`, badge: `${prefix}7`, role: 'mechanic', depotIds: [depotId] },
  });
  await signedIn(service.url, manager, person.body.id);
  const source = await manager.post('/v1/telematics-sources', { name: `${prefix} box`, kind: 'push' });
  await manager.post(`/v1/telematics-sources/${source.body.id}/reports`, {
    machines: [{ equipmentId: `${prefix}1` }],
  });
  const { admin } = service.database;
  const reminderId = uuidv7();
  // A repeat that no sweep has recorded: a worker may have told this target about the line already.
  await admin.query(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, repeat, status, next_attempt_at, created_at)
     select fleet_id, $2, $3, id, cycle, 'due', 99, 'undelivered', now(), now() from due_lines where fleet_id = $1 limit 1`,
    [fleetId, reminderId, target.body.id],
  );
  await admin.query(
    'insert into reminder_attempts (fleet_id, reminder_id, number, at, duration_ms) values ($1, $2, 1, now(), 5)',
    [fleetId, reminderId],
  );
  await admin.query(
    `insert into attachments (fleet_id, id, job_report_id, media_type, size_bytes, sha256, received_sha256)
     values ($1, $2, $3, 'image/png', 3, '\\x01', '\\x01')`,
    [fleetId, uuidv7(), job.body.id],
  );
  await admin.query('insert into attachment_uploads (fleet_id, id, started_at) values ($1, $2, now())', [
    fleetId,
    uuidv7(),
  ]);
  await admin.query(
    'insert into loss_cohorts select fleet_id, id, 0.01, 0.02, 5, now() from spec_sheets where fleet_id = $1',
    [fleetId],
  );
  await confirmedVisit(service, fleet);
  await admin.query(
    'insert into sweep_requests (fleet_id, vehicle_id) select fleet_id, id from vehicles where fleet_id = $1 limit 1',
    [fleetId],
  );
  await admin.query(`insert into fleet_sweeps (fleet_id, swept_on) values ($1, '2026-04-02')`, [fleetId]);
}
