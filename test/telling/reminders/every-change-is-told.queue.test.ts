import { readFileSync } from 'node:fs';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { FINDINGS_AT_ONCE } from '../../support/findings-at-once.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { idOf as formIdOf, labelOf, open, sendForm } from '../../support/labels.js';
import { goodJob, SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const CSV = { 'content-type': 'text/csv' };

/** Due by distance alone, so that a vehicle is due when a test says so. */
const BY_DISTANCE = {
  name: 'By distance',
  intervals: [
    { component: 'water-pump', action: 'replace', everyDistance: { value: 60_000, unit: 'mi' } },
    { component: 'drive-belt', action: 'replace', everyMonths: 240, window: { days: 30 } },
  ],
};

/** A fleet that was swept this morning, and one target that has nothing to hear yet. */
interface Morning {
  url: string;
  fleet: FleetHandle;
  depotId: string;
  specSheetId: string;
  intervalPlanId: string;
  /** In use for years, and nothing of it due. */
  vehicleId: string;
}

/** What a change is told with, and how to make it once all is ready: nothing before may be news. */
interface Change {
  type: string;
  make: (morning: Morning) => Promise<() => Promise<{ status: number; body: any }>>;
  /** What the target is for; all unless given. */
  filter?: (morning: Morning) => Promise<object>;
}

const at = (day: string): string => `${day}T12:00:00Z`;
const miles = (value: number) => ({ value, unit: 'mi' });

async function idOf(posted: Promise<{ status: number; body: any }>): Promise<string> {
  const { status, body } = await posted;
  expect([status, inText(body.errors)]).toEqual([201, undefined]);
  return body.id;
}

const post = async (posted: Promise<{ status: number; body: any }>): Promise<any> => {
  const { status, body } = await posted;
  expect([status < 300, body.errors ?? []]).toEqual([true, []]);
  return body;
};

const reading = (vehicleId: string, day: string, odometer: number, extra: object = {}) => ({
  readings: [{ vehicleId, readAt: at(day), odometer: miles(odometer), ...extra }],
});

const failedTest = (day: string) => ({
  kind: 'hold-test',
  takenAt: at(day),
  method: 'pressure',
  start: { value: 15, unit: 'psi' },
  end: { value: 5, unit: 'psi' },
  minutes: 5,
});

/** A line that has been late for years. */
async function lateLine({ fleet, intervalPlanId }: Morning): Promise<string> {
  await idOf(
    fleet.manager.post('/v1/vehicles', { unitNumber: 'L-1', intervalPlanId, inServiceOn: '2001-03-15' }),
  );
  return (await fleet.dashboard.get('/v1/due-list?state=late')).body.items[0].id;
}

/** The same line, not due for months because somebody postponed it. */
async function postponedLine(morning: Morning): Promise<string> {
  const line = await lateLine(morning);
  await post(
    morning.fleet.manager.post(`/v1/due-list/${line}/postpone`, { until: '2026-12-01', reason: 'no part' }),
  );
  return line;
}

/** A late line in a confirmed visit, and a person to assign it to. */
async function bookedVisit({ fleet, depotId, specSheetId, intervalPlanId }: Morning) {
  const { manager } = fleet;
  const vehicle = { unitNumber: 'L-1', depotId, specSheetId, intervalPlanId, inServiceOn: '2001-03-15' };
  await idOf(manager.post('/v1/vehicles', vehicle));
  const span = { from: '2026-04-02', to: '2026-04-20' };
  const rates = { labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50 };
  const plan = await idOf(manager.post('/v1/visit-plans', { ...span, ...rates }));
  await until(async () => (await manager.get(`/v1/visit-plans/${plan}`)).body.state === 'solved', 60_000);
  await post(manager.post(`/v1/visit-plans/${plan}/confirm`, {}));
  const visit: string = (await manager.get('/v1/visits')).body.items[0].id;
  return { visit, person: await idOf(manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' })) };
}

const forFirstPerson = async ({ fleet }: Morning): Promise<object> => ({
  personId: (await fleet.manager.get('/v1/people')).body.items[0].id,
});

/** Reads 90,000 mi the day after 10,000 mi, which is held; by the first alone nothing is due. */
async function heldJump({ fleet, vehicleId }: Morning): Promise<{ first: string; held: string }> {
  const first = await post(
    fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-03-01', 10_000)),
  );
  const held = await post(
    fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-03-02', 90_000)),
  );
  expect([first.results[0].status, held.results[0].status]).toEqual(['accepted', 'held']);
  return { first: first.results[0].id, held: held.results[0].id };
}

/** Done at 59,000 of 90,000 mi, so that it is late again where that is taken back. */
const pumpReplaced = (vehicleId: string) => goodJob(vehicleId, at('2026-03-20'), 59_000);

const topUps = async (
  { fleet, vehicleId }: Morning,
  days = ['2026-03-01', '2026-03-10', '2026-03-20', '2026-03-30'],
): Promise<void> => {
  for (const day of days)
    await post(
      fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{
          kind: 'top-up',
          takenAt: at(day),
          added: { value: 0.8, unit: 'L' },
          toMark: true,
          planned: false,
        },
      }),
    );
};

const TOLD: Record<string, Change> = {
  'POST /v1/vehicles': {
    type: 'due-line.late',
    make: async ({ fleet, intervalPlanId }) => {
      const vehicle = { unitNumber: 'N-1', intervalPlanId, inServiceOn: '2001-03-15' };
      return () => fleet.manager.post('/v1/vehicles', vehicle);
    },
  },
  'POST /v1/vehicles/import': {
    type: 'due-line.late',
    make: async ({ fleet }) => {
      const file = 'Unit,Interval plan,In service on\nN-1,By distance,2001-03-15\n';
      return () => fleet.manager.send('POST', '/v1/vehicles/import', file, CSV);
    },
  },
  'PATCH /v1/vehicles/{id}': {
    type: 'due-line.late',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { inServiceOn: '2001-03-15' }),
  },
  'PATCH /v1/interval-plans/{id}': {
    type: 'due-line.late',
    make:
      async ({ fleet, intervalPlanId }) =>
      () =>
        fleet.manager.patch(`/v1/interval-plans/${intervalPlanId}`, {
          intervals: [{ component: 'drive-belt', action: 'replace', everyMonths: 12 }],
        }),
  },
  'PATCH /v1/spec-sheets/{id}': {
    type: 'loss-alert.raised',
    make: async (morning) => {
      const { fleet, specSheetId } = morning;
      const { coolant } = SPEC_SHEET;
      const large = { ...coolant, capacity: { value: 400, unit: 'L' } };
      await post(fleet.manager.patch(`/v1/spec-sheets/${specSheetId}`, { coolant: large }));
      await topUps(morning);
      return () => fleet.manager.patch(`/v1/spec-sheets/${specSheetId}`, { coolant });
    },
  },
  'PATCH /v1/fleet': {
    type: 'due-line.window',
    make: async ({ fleet, vehicleId }) => {
      // 240 months less 30 days on, its window opens 3 April: tomorrow here, today there.
      await post(fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { inServiceOn: '2006-05-03' }));
      return () => fleet.manager.patch('/v1/fleet', { timeZone: 'Pacific/Kiritimati' });
    },
  },
  'PATCH /v1/depots/{id}': {
    type: 'due-line.due',
    make: async ({ fleet, depotId, vehicleId }) => {
      await post(
        fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
          ...{
            kind: 'freeze-point',
            takenAt: at('2026-03-20'),
            base: 'ethylene-glycol',
            scale: 'ethylene-glycol',
          },
          ...{ method: 'refractometer', value: { value: -37, unit: 'C' } },
        }),
      );
      return () =>
        fleet.manager.patch(`/v1/depots/${depotId}`, { designLowTemperature: { value: -45, unit: 'C' } });
    },
  },
  'POST /v1/due-list/{id}/postpone': {
    type: 'due-line.window',
    make: async ({ fleet, intervalPlanId }) => {
      await idOf(
        fleet.manager.post('/v1/vehicles', { unitNumber: 'L-1', intervalPlanId, inServiceOn: '2001-03-15' }),
      );
      const { items } = (await fleet.dashboard.get('/v1/due-list?state=late')).body;
      return () =>
        fleet.manager.post(`/v1/due-list/${items[0].id}/postpone`, {
          until: '2026-04-09',
          reason: 'on the road',
        });
    },
  },
  'POST /v1/due-list/postpone': {
    type: 'due-line.window',
    make: async (morning) => {
      const line = await lateLine(morning);
      return () =>
        morning.fleet.manager.post('/v1/due-list/postpone', {
          ...{ ids: [line], until: '2026-04-09', reason: 'on the road' },
        });
    },
  },
  'POST /v1/due-list/{id}/withdraw-postponement': {
    type: 'due-line.late',
    make: async (morning) => {
      const line = await postponedLine(morning);
      return () =>
        morning.fleet.manager.post(`/v1/due-list/${line}/withdraw-postponement`, { reason: 'the part came' });
    },
  },
  'POST /v1/due-list/withdraw-postponements': {
    type: 'due-line.late',
    make: async (morning) => {
      const line = await postponedLine(morning);
      return () =>
        morning.fleet.manager.post('/v1/due-list/withdraw-postponements', {
          ...{ ids: [line], reason: 'the part came' },
        });
    },
  },
  'POST /v1/visits/{id}/assign': {
    type: 'due-line.late',
    make: async (morning) => {
      const { visit, person } = await bookedVisit(morning);
      return () => morning.fleet.manager.post(`/v1/visits/${visit}/assign`, { personId: person });
    },
    filter: forFirstPerson,
  },
  'POST /v1/visits/assign': {
    type: 'due-line.late',
    make: async (morning) => {
      const { visit, person } = await bookedVisit(morning);
      return () => morning.fleet.manager.post('/v1/visits/assign', { ids: [visit], personId: person });
    },
    filter: forFirstPerson,
  },
  'POST /v1/job-reports': {
    type: 'failed-reading',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/job-reports', {
          ...{ vehicleId, performedAt: at('2026-04-01'), performedBy: 'badge 7', releasedForService: 'no' },
          ...{
            lines: [{ component: 'upper-hose', action: 'inspect' }],
            readings: [failedTest('2026-04-01')].map(untimed),
          },
        }),
  },
  'POST /v1/job-reports/batch': {
    type: 'failed-reading',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/job-reports/batch', {
          reports: [
            {
              ...{
                vehicleId,
                performedAt: at('2026-04-01'),
                performedBy: 'badge 7',
                releasedForService: 'no',
              },
              ...{ lines: [{ component: 'upper-hose', action: 'inspect' }] },
              readings: [failedTest('2026-04-01')].map(untimed),
            },
          ],
        }),
  },
  'POST /v1/job-reports/import': {
    type: 'due-line.late',
    make: async ({ fleet, intervalPlanId }) => {
      await idOf(fleet.manager.post('/v1/vehicles', { unitNumber: 'B-1', intervalPlanId }));
      const file = 'Unit,Component,Action,Performed on\nB-1,drive-belt,replace,2001-03-15\n';
      return () => fleet.manager.send('POST', '/v1/job-reports/import', file, CSV);
    },
  },
  'POST /v1/imports/{id}/undo': {
    type: 'due-line.late',
    make: async ({ fleet, intervalPlanId }) => {
      await idOf(
        fleet.manager.post('/v1/vehicles', { unitNumber: 'U-1', intervalPlanId, inServiceOn: '2001-03-15' }),
      );
      const file = 'Unit,Component,Action,Performed on\nU-1,drive-belt,replace,2025-03-15\n';
      const { importId } = await post(fleet.manager.send('POST', '/v1/job-reports/import', file, CSV));
      return () => fleet.manager.post(`/v1/imports/${importId}/undo`);
    },
  },
  'POST /v1/job-reports/{id}/void': {
    type: 'due-line.late',
    make: async ({ fleet, vehicleId }) => {
      const reportId = await idOf(fleet.mechanic.post('/v1/job-reports', pumpReplaced(vehicleId)));
      await post(fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-04-01', 61_000)));
      return () => fleet.manager.post(`/v1/job-reports/${reportId}/void`, { reason: 'another vehicle' });
    },
  },
  'POST /v1/usage-readings': {
    type: 'due-line.late',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-04-01', 90_000)),
  },
  'POST /v1/telematics-sources/{id}/reports': {
    type: 'due-line.due',
    make: async ({ fleet }) => {
      await idOf(fleet.manager.post('/v1/vehicles', { unitNumber: 'M-1', serialNumber: 'S-1' }));
      const id = await idOf(fleet.manager.post('/v1/telematics-sources', { name: 'Box', kind: 'push' }));
      const machines = [{ serialNumber: 'S-1', faults: [{ at: at('2026-04-01'), code: 'P0217' }] }];
      return () => fleet.manager.post(`/v1/telematics-sources/${id}/reports`, { machines });
    },
  },
  'POST /v1/usage-readings/import': {
    type: 'due-line.late',
    make: async ({ fleet }) => {
      const file = 'Unit,Read at,Odometer (mi)\nR-1,2026-04-01,90000\n';
      return () => fleet.manager.send('POST', '/v1/usage-readings/import', file, CSV);
    },
  },
  'POST /v1/usage-readings/{id}/accept': {
    type: 'due-line.late',
    make: async (morning) => {
      const { held } = await heldJump(morning);
      return () => morning.fleet.manager.post(`/v1/usage-readings/${held}/accept`);
    },
  },
  'POST /v1/usage-readings/{id}/void': {
    type: 'due-line.late',
    make: async (morning) => {
      const { first } = await heldJump(morning);
      return () => morning.fleet.manager.post(`/v1/usage-readings/${first}/void`);
    },
  },
  'POST /v1/defects': {
    type: 'due-line.due',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/defects', defectOf(vehicleId)),
  },
  'POST /v1/defects/batch': {
    type: 'due-line.due',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/defects/batch', { defects: [defectOf(vehicleId)] }),
  },
  'POST /v1/defects/{id}/accept-top-up': {
    type: 'loss-alert.raised',
    make: async (morning) => {
      const { fleet, vehicleId, url } = morning;
      await topUps(morning, ['2026-03-25']);
      const label = url + (await labelOf(fleet, vehicleId, 'defects-and-top-ups'));
      const id = formIdOf(await open(label));
      expect((await sendForm(label, { id, trouble: ['coolant-added'], added: '1' })).status).toBe(303);
      return () => fleet.mechanic.post(`/v1/defects/${id}/accept-top-up`, { toMark: true });
    },
  },
  'POST /v1/defects/{id}/triage': {
    type: 'due-line.due',
    make: async ({ fleet, vehicleId }) => {
      const id = await idOf(fleet.mechanic.post('/v1/defects', defectOf(vehicleId)));
      return () =>
        fleet.mechanic.post(`/v1/defects/${id}/triage`, {
          ...{ decidedBy: 'badge 7', component: 'radiator', action: 'replace', vehicleStays: true },
        });
    },
  },
  'POST /v1/faults': {
    type: 'due-line.due',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post('/v1/faults', {
          faults: [{ vehicleId, code: 'SPN 110 FMI 0', seenAt: at('2026-04-02') }],
        }),
  },
  'POST /v1/coolant-temperatures': {
    type: 'due-line.due',
    make: async ({ fleet, specSheetId, vehicleId }) => {
      const coolant = { ...SPEC_SHEET.coolant, highTemperatureAlarm: { value: 107, unit: 'C' } };
      await post(fleet.manager.patch(`/v1/spec-sheets/${specSheetId}`, { coolant }));
      const readAt = [at('2026-04-02'), new Date(Date.parse(at('2026-04-02')) - 600_000).toISOString()];
      const samples = readAt.map((each) => ({
        ...{ vehicleId, readAt: each, temperature: { value: 112, unit: 'C' } },
      }));
      return () => fleet.mechanic.post('/v1/coolant-temperatures', { samples });
    },
  },
  'POST /v1/vehicles/{id}/readings': {
    type: 'failed-reading',
    make:
      async ({ fleet, vehicleId }) =>
      () =>
        fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, failedTest('2026-04-01')),
  },
};

const defectOf = (vehicleId: string) => ({
  ...{ vehicleId, reportedAt: at('2026-04-02'), source: 'driver', what: 'Coolant on the ground' },
});

/** In a report a reading is taken when the work is done. */
function untimed({ takenAt: _takenAt, ...rest }: ReturnType<typeof failedTest>) {
  return rest;
}

/** Writes after which nothing is news that was none before, and why. */
const NOT_TOLD: Record<string, string> = {
  'POST /v1/spreadsheets': 'nothing of it is taken yet',
  'PATCH /v1/spreadsheets/{id}/mapping': 'nothing of it is taken yet',
  'POST /v1/spreadsheets/{id}/dry-run': 'stores nothing',
  'POST /v1/spreadsheets/{id}/take': 'goes through the imports, which are told',
  'DELETE /v1/spreadsheets/{id}': 'what was taken from it stays',
  'POST /v1/calculators/belt': 'works something out',
  'POST /v1/calculators/boil-over': 'works something out',
  'POST /v1/calculators/dilution': 'works something out',
  'POST /v1/calculators/freeze-point': 'works something out',
  'POST /v1/calculators/hold-test': 'works something out',
  'POST /v1/calculators/projection': 'works something out',
  'POST /v1/calculators/torque-set': 'works something out',
  'POST /v1/calculators/vacuum-fill': 'works something out',
  'POST /v1/depots': 'no vehicle is in it yet',
  'DELETE /v1/depots/{id}': 'no vehicle was ever in it',
  'POST /v1/interval-plans': 'no vehicle is under it yet',
  'DELETE /v1/interval-plans/{id}': 'no vehicle was ever under it',
  'POST /v1/spec-sheets': 'no vehicle has it yet',
  'POST /v1/starter-sets': 'no vehicle has the sheet or the plan yet',
  'POST /v1/spec-sheets/{id}/confirm': 'changes no value',
  'POST /v1/interval-plans/{id}/confirm': 'changes no interval',
  'DELETE /v1/spec-sheets/{id}': 'no vehicle ever had it',
  'DELETE /v1/vehicles/{id}': 'nothing was ever recorded of it',
  'POST /v1/job-reports/{id}/attachments': 'nothing is concluded from files',
  'POST /v1/job-reports/{id}/attachments/{attachmentId}/void': 'nothing is concluded from files',
  'POST /v1/defects/{id}/dismiss': 'closes what it opened',
  'POST /v1/defects/{id}/attachments': 'nothing is concluded from files',
  'POST /v1/defects/{id}/attachments/{attachmentId}/void': 'nothing is concluded from files',
  'POST /v1/vehicle-labels': 'opens a way to report',
  'POST /v1/vehicles/{id}/label': 'opens a way to report',
  'POST /v1/vehicles/{id}/label/renew': 'changes the way to report',
  'DELETE /v1/vehicles/{id}/label': 'closes a way to report',
  'POST /v1/faults/{id}/void': 'closes what it opened',
  'POST /v1/coolant-temperature-days/{id}/void': 'closes what it opened',
  'POST /v1/loss-alerts/{id}/acknowledge': 'quiets an alert',
  'POST /v1/loss-alerts/{id}/clear': 'ends an alert',
  'POST /v1/loss-alerts/{id}/shelve': 'quiets an alert until a day, on which the morning tells it',
  'POST /v1/usage-readings/{id}/discard': 'a reading that is held counts for nothing already',
  'POST /v1/reminder-targets': 'tells what stands in a digest of its own',
  'PATCH /v1/reminder-targets/{id}': 'tells what stands in a digest of its own',
  'DELETE /v1/reminder-targets/{id}': 'tells nobody',
  'POST /v1/reminder-targets/{id}/rotate-secret': 'changes how messages are signed',
  'POST /v1/reminder-targets/{id}/test': 'sends a message of its own',
  'POST /v1/reminders/{id}/resend': 'sends a message of its own',
  'POST /v1/telematics-sources': 'nothing has come from it yet',
  'PATCH /v1/telematics-sources/{id}': 'changes how it is polled',
  'DELETE /v1/telematics-sources/{id}': 'what it brought stays',
  'POST /v1/telematics-sources/{id}/poll': 'the worker polls it, and what it brings is taken as a post',
  'POST /v1/telematics-sources/{id}/machines/{machineId}/map': 'counts from the next poll or post on',
  'POST /v1/telematics-sources/{id}/machines/{machineId}/unmap': 'counts from the next poll or post on',
  'POST /v1/sessions': 'signs somebody in',
  'DELETE /v1/sessions/current': 'signs somebody out',
  'DELETE /v1/sessions/{id}': 'signs somebody out',
  'POST /v1/people/{id}/sign-in-links': 'lets somebody sign in',
  'POST /v1/people': 'changes who is let in',
  'PATCH /v1/people/{id}': 'changes who is let in',
  'DELETE /v1/people/{id}': 'changes who is let in',
  'POST /v1/tokens': 'changes who is let in',
  'DELETE /v1/tokens/{id}': 'changes who is let in',
  'POST /v1/visit-plans': 'plans work that is due as before',
  'DELETE /v1/visit-plans/{id}': 'plans work that is due as before',
  'POST /v1/visit-plans/{id}/confirm': 'plans work that is due as before',
  'POST /v1/visit-plans/{id}/solve': 'plans work that is due as before',
  'PATCH /v1/visit-plans/{id}/visits/{visitId}': 'plans work that is due as before',
  'POST /v1/visits/book': 'plans work that is due as before',
  'POST /v1/visits/{id}/cancel': 'plans work that is due as before',
};

describe('in a fleet that was swept this morning', () => {
  let service: Service;
  let receiver: Receiver;

  beforeAll(async () => {
    // No look comes to the rescue within the test.
    service = await startService({
      ...{ withWorker: true, at: '2026-04-02T15:00:00Z', env: { QUEUE_CHECK_SECONDS: '300' } },
    });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    receiver = await startReceiver();
  });
  afterEach(() => receiver.close());

  async function morningOf(): Promise<Morning> {
    const fleet = await service.newFleet();
    const { manager } = fleet;
    const depotId = await idOf(
      manager.post('/v1/depots', { name: 'Ridge', designLowTemperature: { value: -30, unit: 'C' } }),
    );
    const specSheetId = await idOf(manager.post('/v1/spec-sheets', SPEC_SHEET));
    const intervalPlanId = await idOf(manager.post('/v1/interval-plans', BY_DISTANCE));
    const vehicleId = await idOf(
      manager.post('/v1/vehicles', {
        ...{ unitNumber: 'R-1', depotId, specSheetId, intervalPlanId },
        ...{ inServiceOn: '2021-03-15', inServiceOdometer: miles(0) },
      }),
    );
    await service.database.admin.query('insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)', [
      fleet.fleetId,
      '2026-04-02',
    ]);
    return { url: service.url, fleet, depotId, specSheetId, intervalPlanId, vehicleId };
  }

  const untilIdle = (): Promise<void> => untilWorkerIsIdle(service);

  /** From now on the receiver hears news; what stood before was told in one message. */
  async function listen({ fleet }: Morning, filter: object = {}): Promise<void> {
    await untilIdle();
    await idOf(
      fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url, ...filter }),
    );
    await untilIdle();
    receiver.received.length = 0;
  }

  const heard = (): string[] => receiver.received.map(({ body }) => body.type);

  it.each(Object.entries(TOLD))(
    'a change of %s leads to reminders within seconds',
    async (_route, { type, make, filter }) => {
      const morning = await morningOf();
      const change = await make(morning);
      await listen(morning, await filter?.(morning));
      await post(change());
      await until(
        () => heard().includes(type),
        10_000,
        () => `heard of ${heard().join(', ') || 'nothing'}, not of ${type}`,
      );
      await untilIdle();
      const { rows } = await service.database.admin.query('select from sweep_requests');
      expect(rows).toHaveLength(0);
    },
  );

  it('every write of the API is listed as causing reminders or not', () => {
    const { paths } = JSON.parse(readFileSync('openapi.json', 'utf8'));
    const writes = Object.entries(paths).flatMap(([path, operations]) =>
      Object.keys(operations as object)
        .filter((method) => ['post', 'put', 'patch', 'delete'].includes(method))
        .map((method) => `${method.toUpperCase()} ${path}`),
    );
    expect([...Object.keys(TOLD), ...Object.keys(NOT_TOLD)].sort()).toEqual(writes.sort());
  });

  it('every line that a report opens at once leads to a reminder within seconds', async () => {
    const morning = await morningOf();
    await listen(morning, { hears: ['due-line'] });
    const { outcome } = await post(
      morning.fleet.mechanic.post('/v1/job-reports', {
        ...{ vehicleId: morning.vehicleId, performedAt: at('2026-04-02'), releasedForService: 'no' },
        lines: [{ component: 'upper-hose', action: 'inspect' }],
        readings: FINDINGS_AT_ONCE.map(([, { reading }]) => reading),
      }),
    );
    const work = ({ component, action, item }: any): string => `${component}/${action}/${item}`;
    const opened = outcome.followUps.filter(({ atOnce }: any) => atOnce).map(work);
    expect(opened.sort()).toEqual(
      [
        ...new Set(FINDINGS_AT_ONCE.map(([, { opens, item }]) => `${opens.join('/')}/${item ?? null}`)),
      ].sort(),
    );
    await receiver.untilReceived(opened.length);
    await untilIdle();
    expect(receiver.received.map(({ body }) => work(body.data)).sort()).toEqual(opened);
    expect(new Set(heard())).toEqual(new Set(['due-line.due']));
  });

  it('targets of the new depot hear of a vehicle that moves there', async () => {
    const morning = await morningOf();
    const { manager } = morning.fleet;
    const vehicleId = await idOf(
      manager.post('/v1/vehicles', {
        ...{ unitNumber: 'L-1', intervalPlanId: morning.intervalPlanId, inServiceOn: '2001-03-15' },
      }),
    );
    await listen(morning, { depotIds: [morning.depotId] });
    await post(manager.patch(`/v1/vehicles/${vehicleId}`, { depotId: morning.depotId }));
    await receiver.untilReceived(1);
    expect(heard()).toEqual(['due-line.late']);
  });

  it('targets of the new depot hear of a moved vehicle’s alerts, even if none of its lines is in a stage', async () => {
    const morning = await morningOf();
    const { manager } = morning.fleet;
    await topUps(morning);
    const depotId = await idOf(manager.post('/v1/depots', { name: 'Valley' }));
    await listen(morning, { depotIds: [depotId] });
    await post(manager.patch(`/v1/vehicles/${morning.vehicleId}`, { depotId }));
    await receiver.untilReceived(1);
    expect(heard()).toEqual(['loss-alert.raised']);
  });

  it('targets of the new duty hear of a vehicle whose duty changes', async () => {
    const morning = await morningOf();
    const { manager } = morning.fleet;
    const vehicleId = await idOf(
      manager.post('/v1/vehicles', {
        ...{ unitNumber: 'L-1', intervalPlanId: morning.intervalPlanId, inServiceOn: '2001-03-15' },
      }),
    );
    await listen(morning, { duties: ['severe'] });
    await post(manager.patch(`/v1/vehicles/${vehicleId}`, { duty: 'severe' }));
    await receiver.untilReceived(1);
    expect(heard()).toEqual(['due-line.late']);
  });

  it('a change without news asks for no sweep', async () => {
    const morning = await morningOf();
    await listen(morning);
    const { fleet, vehicleId } = morning;
    await post(fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-04-01', 90_000)));
    await receiver.untilReceived(1);
    await untilIdle();
    const added = jest.spyOn(service.app.get(WorkQueue), 'add');
    // It is late as before, though its dates are others.
    await post(fleet.mechanic.post('/v1/usage-readings', reading(vehicleId, '2026-04-02', 90_500)));
    await untilIdle();
    expect(added.mock.calls).toEqual([]);
    added.mockRestore();
  });
});
