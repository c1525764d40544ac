import { CALCULATOR_EXAMPLES } from '../../../src/facts/calculators/calculator-examples.js';
import { goodJob } from '../scenario.js';
import { type GoodBodies, NOW } from './good-bodies.js';
import type { Records } from './records.js';

/** A POST or PATCH with a valid body. */
export interface Endpoint {
  operation: string;
  /** Called for each request, so that one request does not affect the next. */
  path(): string;
  body(): object;
  status: number;
  /** The table that stores what it creates; null when it creates nothing. */
  table: string | null;
  /** Whether repeating it is refused with a 409 that is about the record, not about a field. */
  settles?: boolean;
}

/** Operations that create a record, or compute something. */
export const MAKING = [
  ...[
    'depots',
    'spec-sheets',
    'interval-plans',
    'starter-sets',
    'vehicles',
    'tokens',
    'people',
    'reminder-targets',
    'telematics-sources',
    'telematics-sources/{id}/reports',
    'job-reports',
    'visit-plans',
    'job-reports/batch',
    'usage-readings',
    'faults',
    'coolant-temperatures',
    'defects',
    'defects/batch',
    'vehicle-labels',
    ...Object.keys(CALCULATOR_EXAMPLES).map((name) => `calculators/${name}`),
  ].map((name) => `post /v1/${name}`),
  ...[
    ...(goodJob('', NOW, 1).readings as { kind: string }[]).map(({ kind }) => kind),
    ...['coolant-condition', 'cap-test', 'combustion-gas-test', 'road-test'],
    ...['belt-tension', 'tensioner-check', 'conductivity'],
  ].map((kind) => `post /v1/vehicles/{id}/readings (${kind})`),
];

/** Operations that change a record. */
export const CHANGING = [
  ...[
    'depots',
    'spec-sheets',
    'interval-plans',
    'vehicles',
    'reminder-targets',
    'telematics-sources',
    'people',
  ].map((name) => `patch /v1/${name}/{id}`),
  'patch /v1/fleet',
  'patch /v1/visit-plans/{id}/visits/{visitId}',
];

/** Actions on a record that can be done once. */
export const ACTING = [
  'post /v1/job-reports/{id}/void',
  'post /v1/job-reports/{id}/attachments/{attachmentId}/void',
  ...['accept', 'discard', 'void'].map((action) => `post /v1/usage-readings/{id}/${action}`),
  'post /v1/faults/{id}/void',
  'post /v1/coolant-temperature-days/{id}/void',
  ...['triage', 'dismiss'].map((action) => `post /v1/defects/{id}/${action}`),
  'post /v1/defects/{id}/accept-top-up',
  'post /v1/defects/{id}/attachments/{attachmentId}/void',
  ...['acknowledge', 'shelve', 'clear'].map((action) => `post /v1/loss-alerts/{id}/${action}`),
  ...['a day', 'a usage'].map((what) => `post /v1/due-list/{id}/postpone (to ${what})`),
  ...['spec-sheets', 'interval-plans'].map((name) => `post /v1/${name}/{id}/confirm`),
  'post /v1/due-list/postpone',
  'post /v1/due-list/{id}/withdraw-postponement',
  'post /v1/due-list/withdraw-postponements',
  ...['solve', 'confirm'].map((action) => `post /v1/visit-plans/{id}/${action}`),
  'post /v1/visits/{id}/assign',
  'post /v1/visits/assign',
  'post /v1/visits/book',
  'post /v1/visits/{id}/cancel',
  'post /v1/vehicles/{id}/label',
  'post /v1/vehicles/{id}/label/renew',
  'post /v1/imports/{id}/undo',
  'patch /v1/spreadsheets/{id}/mapping',
  ...['dry-run', 'take'].map((action) => `post /v1/spreadsheets/{id}/${action}`),
  'post /v1/reminders/{id}/resend',
  'post /v1/reminder-targets/{id}/test',
  'post /v1/reminder-targets/{id}/rotate-secret',
  'post /v1/people/{id}/sign-in-links',
  'post /v1/telematics-sources/{id}/poll',
  ...['map', 'unmap'].map((action) => `post /v1/telematics-sources/{id}/machines/{machineId}/${action}`),
];

/** Every POST and PATCH with a JSON body. */
export const OPERATIONS = [...MAKING, ...CHANGING, ...ACTING];

/** The operations, without those that differ only in what they compute or measure. */
export const PATHS = OPERATIONS.filter(
  (name) => !/(calculators|readings \()/.test(name) || /(belt|\(fill\))$/.test(name),
);

export function endpointsOf(bodies: GoodBodies, records: Records): Endpoint[] {
  let turn = 0;
  const create = (name: string, body: () => object, table: string): Endpoint => ({
    ...{ operation: `post /v1/${name}`, path: () => `/v1/${name}`, body, status: 201, table },
  });
  const change = (name: string, id: string, body: () => object): Endpoint => ({
    ...{
      operation: `patch /v1/${name}/{id}`,
      path: () => `/v1/${name}/${id}`,
      body,
      status: 200,
      table: null,
    },
  });
  const act = (name: string, id: string, action: string, body: () => object): Endpoint => ({
    operation: `post /v1/${name}/{id}/${action}`,
    path: () => `/v1/${name}/${id}/${action}`,
    ...{ body, status: 200, table: null, settles: true },
  });
  return [
    create('depots', bodies.depot, 'depots'),
    change('depots', records.depotId, bodies.depot),
    create('spec-sheets', bodies.sheet, 'spec_sheets'),
    change('spec-sheets', records.sheetId, bodies.sheet),
    create('interval-plans', bodies.plan, 'interval_plans'),
    change('interval-plans', records.planId, bodies.plan),
    create('starter-sets', () => ({ sets: [{ set: 'bus', name: bodies.fresh('Buses') }] }), 'spec_sheets'),
    { ...act('spec-sheets', records.starter.specSheet.id, 'confirm', () => ({})), settles: false },
    { ...act('interval-plans', records.starter.intervalPlan.id, 'confirm', () => ({})), settles: false },
    create('vehicles', bodies.vehicle, 'vehicles'),
    change('vehicles', records.vehicleId, () => ({ ...bodies.vehicle(), effectiveOn: '2026-04-02' })),
    create(
      'tokens',
      () => ({ name: 'Board', role: 'dashboard', expiresAt: '2027-01-01T00:00:00Z' }),
      'access_tokens',
    ),
    create('people', bodies.person, 'people'),
    change('people', records.personId, bodies.person),
    create('visit-plans', bodies.visitPlan, 'visit_plans'),
    {
      operation: 'patch /v1/visit-plans/{id}/visits/{visitId}',
      path: () => `/v1/visit-plans/${records.proposed.id}/visits/${records.proposed.visits[0].id}`,
      body: () => ({ pinned: true, day: records.proposed.visits[0].day, dropped: false }),
      ...{ status: 200, table: null },
    },
    { ...act('visit-plans', records.again.id, 'solve', () => ({})), status: 202 },
    act('visit-plans', records.toConfirm.id, 'confirm', () => ({})),
    {
      ...act('visits', records.visitToAssign, 'assign', () => ({ personId: records.personId })),
      settles: false,
    },
    {
      operation: 'post /v1/visits/assign',
      path: () => '/v1/visits/assign',
      body: () => ({ ids: [records.visitToAssign], personId: records.personId }),
      ...{ status: 200, table: null },
    },
    {
      operation: 'post /v1/visits/book',
      path: () => '/v1/visits/book',
      body: () => ({ ids: [records.toBook.id], day: '2026-04-13', depotId: records.toBook.depotId }),
      ...{ status: 200, table: null, settles: true },
    },
    act('visits', records.visitId, 'cancel', () => ({ reason: 'no part' })),
    act('imports', records.importId, 'undo', () => ({})),
    {
      operation: 'patch /v1/spreadsheets/{id}/mapping',
      path: () => `/v1/spreadsheets/${records.spreadsheetId}/mapping`,
      body: () => ({
        ...{ kind: 'vehicles', sheet: '1', headerRow: 1 },
        columns: [{ column: 'B', field: 'make' }],
        answers: [],
      }),
      ...{ status: 200, table: null, settles: true },
    },
    act('spreadsheets', records.spreadsheetId, 'dry-run', () => ({})),
    act('spreadsheets', records.spreadsheetId, 'take', () => ({})),
    create('reminder-targets', bodies.targetBody, 'reminder_targets'),
    change('reminder-targets', records.targetId, bodies.targetBody),
    create('telematics-sources', bodies.source, 'telematics_sources'),
    change('telematics-sources', records.sourceId, bodies.source),
    { ...act('people', records.personId, 'sign-in-links', () => ({})), status: 201 },
    act('telematics-sources', records.polledId, 'poll', () => ({})),
    {
      operation: 'post /v1/telematics-sources/{id}/reports',
      path: () => `/v1/telematics-sources/${records.pushedId}/reports`,
      body: () => ({ machines: [] }),
      ...{ status: 200, table: null },
    },
    ...['map', 'unmap'].map((action) => ({
      operation: `post /v1/telematics-sources/{id}/machines/{machineId}/${action}`,
      path: () => `/v1/telematics-sources/${records.pushedId}/machines/${records.machineId}/${action}`,
      body: () => (action === 'map' ? { vehicleId: records.mappedVehicleId, unitNumber: 'R-114' } : {}),
      ...{ status: 200, table: null, settles: true },
    })),
    create('job-reports', bodies.job, 'job_reports'),
    {
      operation: 'patch /v1/fleet',
      path: () => '/v1/fleet',
      body: () => ({ name: bodies.fresh('Fleet'), timeZone: 'America/Denver', units: 'us' }),
      ...{ status: 200, table: null },
    },
    {
      operation: 'post /v1/job-reports/batch',
      path: () => '/v1/job-reports/batch',
      body: () => ({ reports: [bodies.shortJob()] }),
      ...{ status: 200, table: 'job_reports' },
    },
    {
      operation: 'post /v1/usage-readings',
      path: () => '/v1/usage-readings',
      ...{ body: bodies.usage, status: 200, table: 'usage_readings' },
    },
    create('faults', bodies.faults, 'faults'),
    create('defects', bodies.defect, 'defects'),
    ...['label', 'label/renew'].map((action) => ({
      ...act('vehicles', records.vehicleId, action, () => ({})),
      settles: false,
    })),
    {
      operation: 'post /v1/vehicle-labels',
      path: () => '/v1/vehicle-labels',
      body: () => ({ depotId: records.depotId }),
      ...{ status: 200, table: null },
    },
    {
      operation: 'post /v1/defects/batch',
      path: () => '/v1/defects/batch',
      body: () => ({ defects: [bodies.defect()] }),
      ...{ status: 200, table: 'defects' },
    },
    {
      ...act('defects', records.defectId, 'triage', () => ({
        ...{ decidedBy: 'badge 7', component: 'water-pump', action: 'replace', item: 'main' },
        ...{ dueOn: '2026-05-01', vehicleStays: true, note: 'parts ordered' },
      })),
      settles: false,
    },
    act('defects', records.toppedUp, 'accept-top-up', () => ({
      ...{ added: { value: 0.5, unit: 'L' }, toMark: true, strengthPercent: 50 },
    })),
    act('defects', records.defectToo, 'dismiss', () => ({ decidedBy: 'badge 7', reason: 'nothing found' })),
    {
      ...act('defects', records.defectId, '', () => ({ reason: 'shows a face' })),
      operation: 'post /v1/defects/{id}/attachments/{attachmentId}/void',
      path: () => `/v1/defects/${records.defectId}/attachments/${records.photoId}/void`,
    },
    act('faults', records.faultId, 'void', () => ({ reason: 'wrong vehicle' })),
    {
      operation: 'post /v1/coolant-temperatures',
      path: () => '/v1/coolant-temperatures',
      // One row for each day of a vehicle, however many values it has.
      ...{ body: bodies.temperatures, status: 200, table: null },
    },
    act('coolant-temperature-days', records.hotDayId, 'void', () => ({ reason: 'wrong sensor' })),
    act('job-reports', records.reportId, 'void', () => ({ reason: 'wrong vehicle' })),
    {
      ...act('job-reports', records.withFile, '', () => ({ reason: 'shows a face' })),
      operation: 'post /v1/job-reports/{id}/attachments/{attachmentId}/void',
      path: () => `/v1/job-reports/${records.withFile}/attachments/${records.attachmentId}/void`,
    },
    act('usage-readings', records.held, 'accept', () => ({})),
    act('usage-readings', records.heldToo, 'discard', () => ({})),
    act('usage-readings', records.accepted, 'void', () => ({})),
    act('loss-alerts', records.alertId, 'shelve', () => ({
      until: '2026-05-01T00:00:00Z',
      note: 'parts ordered',
    })),
    act('loss-alerts', records.alertId, 'acknowledge', () => ({ note: 'looked at' })),
    act('loss-alerts', records.alertId, 'clear', () => ({ note: 'cap replaced' })),
    {
      ...act('due-list', '', 'postpone', () => ({ until: '2026-06-01', reason: 'parts ordered' })),
      operation: 'post /v1/due-list/{id}/postpone (to a day)',
      path: () => `/v1/due-list/${records.lines[++turn % records.lines.length]}/postpone`,
    },
    {
      ...act('due-list', records.driven, 'postpone', () => ({
        ...{ untilUsage: { odometer: { value: 20_000, unit: 'mi' } }, reason: 'parts ordered' },
      })),
      operation: 'post /v1/due-list/{id}/postpone (to a usage)',
    },
    {
      operation: 'post /v1/due-list/postpone',
      path: () => '/v1/due-list/postpone',
      body: () => ({ ids: records.lines.slice(0, 1), until: '2026-06-01', reason: 'parts ordered' }),
      ...{ status: 200, table: null, settles: true },
    },
    {
      operation: 'post /v1/due-list/withdraw-postponements',
      path: () => '/v1/due-list/withdraw-postponements',
      body: () => ({ ids: records.lines.slice(0, 1), reason: 'parts came' }),
      ...{ status: 200, table: null, settles: true },
    },
    act('due-list', records.lines[0] ?? '', 'withdraw-postponement', () => ({ reason: 'parts came' })),
    act('reminders', records.reminderId, 'resend', () => ({})),
    act('reminder-targets', records.targetId, 'test', () => ({})),
    act('reminder-targets', records.targetId, 'rotate-secret', () => ({ overlapHours: 48 })),
    ...Object.entries(CALCULATOR_EXAMPLES).map(([name, { request }]): Endpoint => ({
      operation: `post /v1/calculators/${name}`,
      path: () => `/v1/calculators/${name}`,
      body: () => request,
      ...{ status: 200, table: null },
    })),
    ...Object.values(bodies.kinds).map((reading: any): Endpoint => ({
      operation: `post /v1/vehicles/{id}/readings (${reading.kind})`,
      path: () => `/v1/vehicles/${bodies.nextVehicle()}/readings`,
      body: () => ({
        ...{ takenAt: '2026-04-01T12:00:00Z', odometer: { value: 20_000, unit: 'mi' } },
        ...{ engineHours: { value: 700, unit: 'h' }, elevation: { value: 1500, unit: 'm' } },
        ...reading,
      }),
      ...{ status: 201, table: 'readings' },
    })),
  ];
}
