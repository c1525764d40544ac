import fastifyOf, { type FastifyRequest } from 'fastify';
import { createHash } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import pg from 'pg';
import { civilDateAt, MS_PER_DAY } from '../../src/domain/calendar/zone.js';
import { STARTER_INTERVAL } from '../../src/domain/evaluation/starter-mark.js';
import type { Message } from '../../src/domain/message.js';
import { toldTo } from '../../src/platform/words/shown-messages.js';

/**
 * The due list as one would write it by hand instead of using the service: Fastify and pg, one
 * named statement for the token and one for the page, with the fleet in the `where` clause. Returns
 * the same fields.
 */
export interface Peer {
  url: string;
  close(): Promise<void>;
}

interface Holder {
  fleet_id: string;
  time_zone: string;
  units: 'us' | 'si';
  greatest_lead_days: number;
  expires_at: Date | null;
}

interface LineRow {
  id: string;
  vehicle_id: string;
  unit_number: string;
  depot_id: string | null;
  component: string;
  action: string;
  item: string | null;
  origin: string;
  window_opens_on: string;
  due_on: string;
  late_on: string;
  late_lapses_on: string | null;
  late_for_good_on: string | null;
  earliest_on: string | null;
  latest_on: string | null;
  trigger: string | null;
  due_odometer_km: number | null;
  due_engine_hours: number | null;
  due_date: string | null;
  last_done_on: string | null;
  last_done_odometer_km: number | null;
  last_done_engine_hours: number | null;
  last_done_report_id: string | null;
  stale_on: string | null;
  needs_reading: boolean;
  postponed_until: string | null;
  is_at_once: boolean;
  causes: Message[] | null;
  is_starter: boolean;
  is_released: boolean;
  visit_id: string | null;
  visit_day: string | null;
  visit_assignee: string | null;
  odometer_read_at: Date | null;
  odometer_lifetime_km: number | null;
  odometer_offset_km: number | null;
  km_per_day: number | null;
  engine_hours_read_at: Date | null;
  engine_hours_lifetime: number | null;
  engine_hours_offset: number | null;
  hours_per_day: number | null;
}

const HOLDER = {
  name: 'holder',
  text: `select t.fleet_id, t.expires_at, f.time_zone, f.units, f.greatest_lead_days
    from peer.tokens t join peer.fleets f on f.id = t.fleet_id where t.hash = $1 and t.revoked_at is null`,
};

const PAGE = {
  name: 'page',
  text: `select l.id, l.vehicle_id, v.unit_number, v.depot_id, l.component, l.action, l.item, l.origin, l.window_opens_on, l.due_on, l.late_on,
      l.late_lapses_on, l.late_for_good_on, l.earliest_on, l.latest_on, l.trigger, l.due_odometer_km, l.due_engine_hours, l.due_date, l.last_done_on,
      l.last_done_odometer_km, l.last_done_engine_hours, l.last_done_report_id, l.stale_on, l.needs_reading, l.postponed_until,
      l.is_at_once, l.causes, l.is_starter, l.is_released,
      p.id as visit_id, p.day as visit_day, p.assigned_to as visit_assignee,
      u.odometer_read_at, u.odometer_lifetime_km, u.odometer_offset_km, u.km_per_day,
      u.engine_hours_read_at, u.engine_hours_lifetime, u.engine_hours_offset, u.hours_per_day
    from (
      select * from peer.due_lines
      where fleet_id = $1 and is_open and not no_baseline and window_opens_on <= $2::date and due_on <= $2::date + $3::int
        and (not is_at_once, due_on, id) > ($4::boolean, $5::date, $6::uuid)
      order by (not is_at_once), due_on, id limit 51) l
    join peer.vehicles v on v.fleet_id = l.fleet_id and v.id = l.vehicle_id
    left join peer.usage u on u.fleet_id = l.fleet_id and u.vehicle_id = l.vehicle_id
    left join peer.visits p on p.fleet_id = l.fleet_id and p.id = l.visit_id and p.depot_id = v.depot_id
      and (l.last_done_report_id is null or l.last_done_on <= l.visit_counts_from)
    order by (not l.is_at_once), l.due_on, l.id`,
};

/**
 * A page position: whether it is past the lines that are due at once, the due date of the last line
 * shown, and its id.
 */
type Place = [isPastAtOnce: boolean, dueOn: string, id: string];

const PAGE_SIZE = 50;
/** Before all lines; those that are due at once come first. */
const START: Place = [false, '-infinity', '00000000-0000-0000-0000-000000000000'];

const DATE: number = pg.types.builtins.DATE;

/** Leaves dates as text. */
const types = {
  getTypeParser: (oid: number, format?: 'text' | 'binary') =>
    oid === DATE ? (text: string) => text : (pg.types.getTypeParser(oid, format) as never),
};

export async function servePeer(databaseUrl: string): Promise<Peer> {
  const pool = new pg.Pool({ connectionString: databaseUrl, max: 12, types });
  // Without a listener, the end of the database would end the process.
  pool.on('error', () => undefined);
  const fastify = fastifyOf();

  async function holderOf(request: FastifyRequest): Promise<Holder | null> {
    const token = /^Bearer (\S+)$/.exec(request.headers.authorization ?? '')?.[1];
    if (token === undefined) return null;
    const hash = createHash('sha256').update(token).digest();
    const { rows } = await pool.query<Holder>({ ...HOLDER, values: [hash] });
    const [holder] = rows;
    return holder && (holder.expires_at === null || holder.expires_at > new Date()) ? holder : null;
  }

  fastify.get('/due-list', async (request, reply) => {
    const holder = await holderOf(request);
    if (holder === null) return reply.code(401).send();
    const { cursor } = request.query as { cursor?: string };
    const [isPastAtOnce, dueOn, id] =
      cursor === undefined ? START : (JSON.parse(Buffer.from(cursor, 'base64url').toString()) as Place);
    const now = Date.now();
    const today = civilDateAt(now, holder.time_zone);
    const { rows } = await pool.query<LineRow>({
      ...PAGE,
      values: [holder.fleet_id, today, holder.greatest_lead_days, isPastAtOnce, dueOn, id],
    });
    const shown = rows.slice(0, PAGE_SIZE);
    const last = rows.length > PAGE_SIZE ? shown.at(-1) : undefined;
    return {
      asOf: today,
      items: shown.map((row) => itemOf(row, holder.units, today, now)),
      next: last
        ? Buffer.from(JSON.stringify([!last.is_at_once, last.due_on, last.id])).toString('base64url')
        : null,
    };
  });

  await fastify.listen({ port: 0, host: '127.0.0.1' });
  const address = fastify.server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${address.port}`,
    async close() {
      await fastify.close();
      await pool.end();
    },
  };
}

const tell = toldTo({ language: 'en', units: null });

const KM_PER_MILE = 1.609344;
const rounded = (value: number): number => Number(value.toPrecision(10));
const dated = (day: string | null): string | null => (day === 'infinity' ? null : day);

function distance(km: number | null, units: 'us' | 'si') {
  if (km === null) return null;
  return units === 'us'
    ? { value: rounded(km / KM_PER_MILE), unit: 'mi' }
    : { value: rounded(km), unit: 'km' };
}

const hours = (value: number | null) => (value === null ? null : { value: rounded(value), unit: 'h' });

function less(value: number | null, other: number | null): number | null {
  return value === null ? null : value - (other ?? 0);
}

function estimate(at: Date | null, last: number | null, perDay: number | null, now: number): number | null {
  if (at === null || last === null) return null;
  return last + ((perDay ?? 0) * Math.max(0, now - at.getTime())) / MS_PER_DAY;
}

function remaining(due: number | null, estimated: number | null): number | null {
  return due === null || estimated === null ? null : due - estimated;
}

function stateOf(row: LineRow, today: string): string {
  const isLate =
    (row.late_for_good_on !== null && today >= row.late_for_good_on) ||
    (today >= row.late_on && (row.late_lapses_on === null || today < row.late_lapses_on));
  return isLate ? 'late' : today >= row.due_on ? 'due' : 'window';
}

function itemOf(row: LineRow, units: 'us' | 'si', today: string, now: number) {
  const isReached = row.due_on <= today;
  const km = estimate(row.odometer_read_at, row.odometer_lifetime_km, row.km_per_day, now);
  const h = estimate(row.engine_hours_read_at, row.engine_hours_lifetime, row.hours_per_day, now);
  return {
    id: row.id,
    state: stateOf(row, today),
    component: row.component,
    item: row.item,
    action: row.action,
    origin: row.origin,
    vehicle: { id: row.vehicle_id, unitNumber: row.unit_number, depotId: row.depot_id },
    trigger: row.trigger,
    windowOpensOn: dated(row.window_opens_on),
    dueOn: dated(row.due_on),
    lateOn: dated(row.late_on),
    earliestOn:
      row.earliest_on !== null && !isReached && row.earliest_on < today ? today : dated(row.earliest_on),
    latestOn: dated(row.latest_on),
    dueAt: {
      odometer: distance(less(row.due_odometer_km, row.odometer_offset_km), units),
      engineHours: hours(less(row.due_engine_hours, row.engine_hours_offset)),
      date: row.due_date,
    },
    remaining: {
      distance: distance(remaining(row.due_odometer_km, km), units),
      engineHours: hours(remaining(row.due_engine_hours, h)),
      days: row.due_on === 'infinity' ? null : (Date.parse(row.due_on) - Date.parse(today)) / MS_PER_DAY,
    },
    lastDone:
      row.last_done_on === null
        ? null
        : {
            on: row.last_done_on,
            odometer: distance(less(row.last_done_odometer_km, row.odometer_offset_km), units),
            engineHours: hours(less(row.last_done_engine_hours, row.engine_hours_offset)),
            jobReportId: row.last_done_report_id,
          },
    stale: row.stale_on !== null && today >= row.stale_on,
    needsReading: row.needs_reading,
    postponedUntil: row.postponed_until,
    atOnce: row.is_at_once,
    causes: tell(row.causes ?? []),
    basis: row.is_starter ? tell([STARTER_INTERVAL]) : [],
    releasedWithFindings: row.is_released,
    visit:
      row.visit_id === null ? null : { id: row.visit_id, on: row.visit_day, assignedTo: row.visit_assignee },
  };
}
