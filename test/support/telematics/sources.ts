import { untilWorkerIsIdle } from '../idle.js';
import { until } from '../receiver.js';
import type { FleetHandle, Service } from '../service.js';

/** Telematics sources of a fleet, as a manager sees them. */
export class Sources {
  constructor(
    private readonly service: Service,
    readonly fleet: FleetHandle,
  ) {}

  /** Adds a source. @returns its id, once the first poll is over */
  async add(input: object): Promise<string> {
    const { status, body } = await this.fleet.manager.post('/v1/telematics-sources', {
      name: `Source ${Math.random()}`,
      ...input,
    });
    if (status !== 201) throw new Error(JSON.stringify(body));
    if (body.kind !== 'push') await this.untilPolled(body.id);
    return body.id;
  }

  async get(id: string): Promise<any> {
    return (await this.fleet.manager.get(`/v1/telematics-sources/${id}`)).body;
  }

  /** Polls a source now. @returns how it stands after that */
  async poll(id: string): Promise<any> {
    const { status, body } = await this.fleet.manager.post(`/v1/telematics-sources/${id}/poll`);
    if (status !== 200) throw new Error(JSON.stringify(body));
    return this.untilPolled(id);
  }

  /** Resolves when the source is not due and is not being polled. */
  async untilPolled(id: string): Promise<any> {
    await until(async () => {
      const { state, nextPollAt } = await this.get(id);
      return state !== 'polling' && Date.parse(nextPollAt) > this.service.clock.now().getTime();
    });
    await untilWorkerIsIdle(this.service);
    return this.get(id);
  }

  async machines(id: string, query = ''): Promise<any[]> {
    return (await this.fleet.manager.get(`/v1/telematics-sources/${id}/machines${query}`)).body.items;
  }

  async vehicle(input: { unitNumber: string; [field: string]: unknown }): Promise<string> {
    const { status, body } = await this.fleet.manager.post('/v1/vehicles', input);
    if (status !== 201) throw new Error(JSON.stringify(body));
    return body.id;
  }

  /** The usage readings of a vehicle, oldest first, as `odometer km, hours h, status`. */
  async readings(vehicleId: string): Promise<string[]> {
    const { rows } = await this.service.database.admin.query(
      `select round(odometer_km::numeric, 1)::float8 as km, round(engine_hours::numeric, 1)::float8 as h, status, source
       from usage_readings where vehicle_id = $1 order by read_at, id`,
      [vehicleId],
    );
    return rows.map(({ km, h, status }) => `${km} km, ${h} h, ${status}`);
  }
}
