import ICAL from 'ical.js';
import { v7 as uuidv7 } from 'uuid';
import { seedDueLine } from '../../support/due-lines.js';
import { startProcess } from '../../support/processes.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

/** A process that starts on a busy machine takes its time. */
const PATIENCE_MS = 180_000;

const TODAY = '2026-04-02';
const FEED = '/v1/due-list.ics';

interface ParsedEvent {
  uid: string;
  sequence: number;
  summary: string;
  description: string;
  location: string | null;
  start: string;
  end: string;
  isDate: boolean;
  alarmAt: string;
  revisedAt: string;
}

/** The feed as an independent library reads it. */
function eventsOf(answer: Answer<string>): ParsedEvent[] {
  expect(answer.status).toBe(200);
  expect(answer.body.split('\r\n').filter((line) => Buffer.byteLength(line) > 75)).toEqual([]);
  const calendar = new ICAL.Component(ICAL.parse(answer.body));
  return calendar.getAllSubcomponents('vevent').map((component) => {
    const event = new ICAL.Event(component);
    const alarm = component.getFirstSubcomponent('valarm');
    const alarmAt = event.startDate.clone();
    alarmAt.isDate = false;
    alarmAt.addDuration(alarm?.getFirstPropertyValue('trigger') as ICAL.Duration);
    return {
      uid: event.uid,
      sequence: event.sequence,
      summary: event.summary,
      description: event.description,
      location: event.location,
      start: event.startDate.toString(),
      end: event.endDate.toString(),
      isDate: event.startDate.isDate,
      alarmAt: alarmAt.toString(),
      revisedAt: String(component.getFirstPropertyValue('dtstamp')),
    };
  });
}

describe('the calendar feed', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: `${TODAY}T15:00:00Z`, isAlone: true });
  });
  beforeEach(async () => {
    service.clock.moveTo(`${TODAY}T15:00:00Z`);
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const nobody = () => service.client(null);
  const issued = async (role: string): Promise<{ id: string; token: string }> =>
    (await fleet.manager.post('/v1/tokens', { name: role, role })).body;
  const feed = async (query = ''): Promise<ParsedEvent[]> =>
    eventsOf(await fleet.dashboard.get(`${FEED}${query}`));

  it('shows each due line on the day it is due, with an alarm on the day its window opens', async () => {
    await seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', unitNumber: 'R-114' },
    });
    await seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2028-02-29', dueOn: '2028-02-29', lateOn: 'infinity', component: 'drive-belt' },
    });
    // Neither has a day: one has nothing to count from, the other no date yet.
    const never = { windowOpensOn: 'infinity', dueOn: 'infinity', lateOn: 'infinity' };
    await seedDueLine(service, fleet.fleetId, { ...never, noBaseline: true });
    await seedDueLine(service, fleet.fleetId, never);
    const answer = await fleet.dashboard.get(FEED);
    expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    expect(answer.headers.get('referrer-policy')).toBe('no-referrer');
    const [pump, belt, ...more] = eventsOf(answer);
    expect(more).toEqual([]);
    expect(pump).toMatchObject({
      ...{
        start: '2026-03-30',
        end: '2026-03-31',
        isDate: true,
        alarmAt: '2026-03-01T08:00:00',
        sequence: 0,
      },
      summary: expect.stringMatching(/^T-\d+: replace water pump$/),
      description:
        'Comes due by distance, as the vehicle has been used.\nThe window opens on March 1, 2026.\nOverdue from April 13, 2026 on.',
    });
    expect(belt).toMatchObject({ start: '2028-02-29', end: '2028-03-01', alarmAt: '2028-02-29T08:00:00' });
    const calendar = new ICAL.Component(ICAL.parse(answer.body));
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
    expect(calendar.getFirstPropertyValue('x-wr-calname')).toMatch(/^Fleet .*: due list$/);
  });

  it('speaks the language of its token, else of the fleet, whatever a calendar program asks for', async () => {
    const dates = { windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13' };
    await seedDueLine(service, fleet.fleetId, { ...dates, unitNumber: 'R-114' });
    const wanted = { name: 'agenda', role: 'calendar', language: 'es' };
    const { token } = (await fleet.manager.post('/v1/tokens', wanted)).body;
    // A calendar program sends its own language.
    const answer = await nobody().get(`${FEED}?token=${token}`, { 'accept-language': 'en-US' });
    expect(answer.headers.get('content-language')).toBe('es');
    expect(eventsOf(answer)).toEqual([
      expect.objectContaining({
        summary: expect.stringMatching(/^T-\d+: bomba de agua, cambio$/),
        description: expect.stringMatching(
          /\nLa ventana de servicio abre el 1 de marzo de 2026\.\nAtrasado a partir del 13 de abril de 2026\.$/,
        ),
      }),
    ]);
    const calendar = new ICAL.Component(ICAL.parse(answer.body));
    expect(calendar.getFirstPropertyValue('x-wr-calname')).toMatch(/^Fleet .*: lista de trabajos por hacer$/);
    expect(calendar.getFirstPropertyValue('prodid')).toMatch(/\/\/ES$/);
    expect((await feed())[0]?.summary).toMatch(/: replace water pump$/);
    await fleet.manager.patch('/v1/fleet', { language: 'es' });
    const ofFleet = await fleet.dashboard.get(FEED, { 'accept-language': 'en-US' });
    expect(eventsOf(ofFleet)[0]?.summary).toMatch(/: bomba de agua, cambio$/);
  });

  it('escapes and folds the names of vehicles and depots', async () => {
    const unitNumber = 'Ü-7, 北; "Süd"\\Tür 🚚🚚🚚🚚🚚🚚🚚🚚';
    const name = 'Werk "Süd", Halle 3; hinten – Große Straße 12, 83022 Rosenheim, Bayern';
    const depot = (await fleet.manager.post('/v1/depots', { name })).body;
    const { rows } = await service.database.admin.query('select * from depots where id = $1', [depot.id]);
    expect(rows).toHaveLength(1);
    const line = await seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', depotId: depot.id },
    });
    await service.database.admin.query('update due_lines set unit_number = $2, item = $3 where id = $1', [
      ...[line.id, unitNumber, 'zweite\nZeile, oben'],
    ]);
    const [event] = await feed();
    expect(event?.summary).toBe(`${unitNumber}: replace water pump (zweite\nZeile, oben)`);
    expect(event?.location).toBe(name);
  });

  it('keeps the UID and raises SEQUENCE when the line changes, and starts another event when the work is done', async () => {
    const { vehicleId } = await postScenario(fleet);
    const pumpOf = async (): Promise<ParsedEvent> => {
      const found = (await feed('?component=water-pump'))[0];
      if (!found) throw new Error('the feed shows no pump');
      return found;
    };
    const first = await pumpOf();
    // 60 months under severe duty from 2021-03-15 on, by the plan of the scenario.
    expect(first).toMatchObject({ start: '2026-03-15', isDate: true });
    expect(await pumpOf()).toEqual(first);

    const [line] = (await fleet.manager.get('/v1/due-list?component=water-pump')).body.items;
    await fleet.manager.post(`/v1/due-list/${line.id}/postpone`, { until: '2026-05-01', reason: 'no part' });
    const put = await pumpOf();
    expect(put).toMatchObject({ uid: first.uid, start: '2026-05-01' });
    expect(put.sequence).toBeGreaterThan(first.sequence);
    expect(put.description).toContain('Postponed until May 1, 2026.');

    await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { unitNumber: 'R-115' });
    const renamed = await pumpOf();
    expect(renamed).toMatchObject({ uid: first.uid, summary: 'R-115: replace water pump' });
    expect(renamed.sequence).toBeGreaterThan(put.sequence);

    const report = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(vehicleId, '2026-04-01T15:00:00Z', 45_000),
    );
    expect(report.status).toBe(201);
    const next = await pumpOf();
    expect(next.uid).not.toBe(first.uid);
    expect(next.start > '2027').toBe(true);
    expect((await feed()).map(({ uid }) => uid)).not.toContain(first.uid);

    // The job never happened: the event that was there is there again, as a later revision of
    // itself.
    await fleet.manager.post(`/v1/job-reports/${report.body.id}/void`, { reason: 'other vehicle' });
    const again = await pumpOf();
    expect(again.uid).toBe(first.uid);
    expect(again.sequence).toBeGreaterThan(renamed.sequence);
  });

  it('accepts the filters of the list', async () => {
    const depot = (await fleet.manager.post('/v1/depots', { name: 'Ridge' })).body.id;
    const at = (dueOn: string) => ({ windowOpensOn: dueOn, dueOn, lateOn: dueOn });
    const late = await seedDueLine(service, fleet.fleetId, at('2026-03-30'));
    await seedDueLine(service, fleet.fleetId, { ...at('2026-06-01'), component: 'coolant' });
    await seedDueLine(service, fleet.fleetId, { ...at('2026-06-02'), depotId: depot });
    const days = async (query: string): Promise<string[]> => (await feed(query)).map(({ start }) => start);
    expect(await days('')).toEqual(['2026-03-30', '2026-06-01', '2026-06-02']);
    expect(await days('?state=late')).toEqual(['2026-03-30']);
    expect(await days('?dueBefore=2026-06-02')).toEqual(['2026-03-30', '2026-06-01']);
    expect(await days(`?depotId=${depot}`)).toEqual(['2026-06-02']);
    expect(await days('?component=coolant')).toEqual(['2026-06-01']);
    expect(await days('?action=inspect')).toEqual([]);
    expect(await days(`?vehicleId=${late.vehicleId}&units=si`)).toEqual(['2026-03-30']);
    expect(await days(`?q=${late.unitNumber}`)).toEqual(['2026-03-30']);
    for (const query of [
      ...[
        'state=no-baseline',
        'state=overdue',
        'dueBefore=tomorrow',
        'depotId=7',
        'component=engine',
        'limit=5',
      ],
      ...[
        'cursor=x',
        'q=',
        'units=metric',
        'action=paint',
        'vehicleId=%00',
        'state=late&state=due',
        'colour=red',
      ],
    ]) {
      const refused = await fleet.dashboard.get(`${FEED}?${query}`);
      expect([query, refused.status]).toEqual([query, 400]);
      expect(refused.body.errors[0].parameter).toBe(query.split('=')[0]);
    }
    const other = await service.newFleet();
    expect(eventsOf(await other.dashboard.get(FEED))).toEqual([]);
  });

  it.each([
    ['Pacific/Apia', '2026-03-31'], // UTC+13: the 1st is long over there
    ['America/Denver', '2026-03-31'],
    ['Pacific/Kiritimati', '2026-04-05'], // the day daylight saving ends next door
    ['Europe/Berlin', '2026-03-29'], // the clocks go forward
    ['America/Havana', '2026-03-08'], // the day has no midnight
  ])('shows the civil day in any time zone: %s', async (timeZone, dueOn) => {
    const there = await service.newFleet({ timeZone });
    await seedDueLine(service, there.fleetId, { windowOpensOn: '2026-03-01', dueOn, lateOn: '2026-05-01' });
    const [event] = eventsOf(await there.dashboard.get(FEED));
    expect(event).toMatchObject({ start: dueOn, isDate: true, alarmAt: '2026-03-01T08:00:00' });
  });

  it('accepts a calendar token in the address, until it is revoked', async () => {
    await seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13' },
    });
    const { id, token } = await issued('calendar');
    const address = `${FEED}?token=${token}`;
    const answer = await nobody().get(address);
    expect(eventsOf(answer)).toHaveLength(1);
    expect(eventsOf(await nobody().get(`${address}&state=not-due`))).toHaveLength(0);
    expect(eventsOf(await service.client(token).get(FEED))).toHaveLength(1);
    const etag = answer.headers.get('etag') ?? '';
    expect((await nobody().get(address, { 'if-none-match': etag })).status).toBe(304);
    expect((await nobody().send('HEAD', address, undefined)).status).toBe(200);

    // It opens nothing else, neither in the address nor in the header.
    for (const path of [
      '/v1/due-list',
      '/v1/due-list/events',
      '/v1/fleet',
      '/v1/loss-alerts',
      '/v1/tokens',
    ]) {
      expect([path, (await nobody().get(`${path}?token=${token}`)).status]).toEqual([path, 401]);
      expect((await service.client(token).get(path)).status).toBe(403);
    }
    expect((await fleet.dashboard.get(`/v1/due-list?token=${token}`)).status).toBe(400);

    for (const role of ['manager', 'mechanic', 'dashboard']) {
      const other = await issued(role);
      const refused = await nobody().get(`${FEED}?token=${other.token}`);
      expect([role, refused.status, refused.body.type]).toEqual([role, 403, '/problems/wrong-role']);
      expect(JSON.stringify(refused.body)).not.toContain(other.token.slice(3));
      expect((await service.client(other.token).get(FEED)).status).toBe(200);
    }
    const both = await fleet.dashboard.get(address);
    expect([both.status, both.body.errors[0].parameter]).toEqual([400, 'token']);
    for (const wrong of [
      '',
      'wh_',
      token.slice(0, -1),
      `${token}x`,
      'a&token=b',
      '%00',
      `wh_${'x'.repeat(43)}`,
    ]) {
      const refused = await nobody().get(`${FEED}?token=${wrong}`);
      expect([wrong, refused.status]).toEqual([wrong, 401]);
      expect(refused.headers.get('referrer-policy')).toBe('no-referrer');
    }
    expect((await fleet.manager.delete(`/v1/tokens/${id}`)).status).toBe(204);
    expect((await nobody().get(address)).status).toBe(401);
    expect((await nobody().get(address, { 'if-none-match': etag })).status).toBe(401);
  });

  it('answers 304 until something changes or the next day begins', async () => {
    const first = await fleet.dashboard.get(FEED);
    const known = { 'if-none-match': first.headers.get('etag') ?? '' };
    expect((await fleet.dashboard.get(FEED, known)).status).toBe(304);
    await fleet.manager.post('/v1/depots', { name: 'New' });
    expect((await fleet.dashboard.get(FEED, known)).status).toBe(200);
  });

  it('shows the first 5,000 of more events, each once, by due day, and says that there are more', async () => {
    const { vehicleId } = await seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-05-01', dueOn: '2026-05-01', lateOn: '2026-05-01' },
    });
    await service.database.admin.query(
      `insert into due_lines (fleet_id, id, vehicle_id, unit_number, component, action, item, origin, window_opens_on, due_on, late_on, cycle)
       select $1, gen_random_uuid(), $2, 'N', 'upper-hose', 'inspect', n::text, 'interval', d, d, d, 'in-service'
       from generate_series(1, 5010) n, lateral (select date '2026-06-01' + n / 7 as d)`,
      [fleet.fleetId, vehicleId],
    );
    const answer = await fleet.dashboard.get(FEED);
    const events = eventsOf(answer);
    expect(new Set(events.map(({ uid }) => uid)).size).toBe(5000);
    const days = events.map(({ start }) => start);
    expect(days).toEqual([...days].sort());
    const calendar = new ICAL.Component(ICAL.parse(answer.body));
    expect(calendar.getFirstPropertyValue('description')).toMatch(/Only the 5,000 .* There are more/);
    const narrowed = await feed('?dueBefore=2026-06-10');
    expect(narrowed.length).toBe(1 + 9 * 7 - 1);
  });

  it(
    'leaves no token in the log, at any level',
    async () => {
      const { token } = await issued('calendar');
      const api = startProcess('src/main.api.js', {
        ...{ DATABASE_URL: service.database.url, PORT: '0', HOST: '127.0.0.1', LOG_LEVEL: 'trace' },
      });
      try {
        await api.untilSays('listens on ', PATIENCE_MS);
        const url = /listens on (\S+)/.exec(api.log())?.[1] ?? '';
        expect((await fetch(`${url}${FEED}?token=${token}`)).status).toBe(200);
        expect((await fetch(`${url}${FEED}?token=${token}&state=x`)).status).toBe(400);
        // A fault of ours, which is logged.
        await service.database.admin.query('alter table due_lines rename to due_lines_away');
        expect((await fetch(`${url}${FEED}?token=${token}&q=${uuidv7().slice(0, 8)}`)).status).toBe(500);
        await api.untilSays('/v1/due-list.ics', PATIENCE_MS);
      } finally {
        await service.database.admin.query('alter table if exists due_lines_away rename to due_lines');
        await api.end();
      }
      expect(api.log()).not.toContain(token.slice(3));
    },
    3 * PATIENCE_MS,
  );
});
