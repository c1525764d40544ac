import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('a cursor that was changed by hand', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
    for (const name of ['Ridge', 'Valley']) await fleet.manager.post('/v1/depots', { name });
  });
  afterAll(() => service.stop());

  async function changed(path: string, change: (keys: string[]) => unknown[]): Promise<unknown> {
    const { body: first } = await fleet.manager.get(`${path}?limit=1`);
    const [digest, ...keys] = JSON.parse(Buffer.from(first.next, 'base64url').toString()) as string[];
    const cursor = Buffer.from(JSON.stringify([digest, ...change(keys)]));
    const { status, body } = await fleet.manager.get(
      `${path}?limit=1&cursor=${cursor.toString('base64url')}`,
    );
    return status === 200 ? body.items.length : [status, body.errors?.[0]?.parameter];
  }

  it.each([
    ['/v1/audit', '2026-02-30T07:31:00.000Z'],
    ['/v1/audit', '2026-02-28T25:31:00.000Z'],
    ['/v1/audit', '0000-02-28T07:31:00.000000Z'],
    ['/v1/audit', 'infinity'],
    ['/v1/depots', 'Rid\u0000ge'],
  ])('is refused on %s with an impossible sort key: %j', async (path, key) => {
    expect(await changed(path, ([, ...rest]) => [key, ...rest])).toEqual([400, 'cursor']);
  });

  it('is refused with a key too few or too many, or with one that is not text', async () => {
    const refused = [400, 'cursor'];
    expect(await changed('/v1/audit', ([at]) => [at])).toEqual(refused);
    expect(await changed('/v1/audit', (keys) => [...keys, 'more'])).toEqual(refused);
    expect(await changed('/v1/audit', ([, id]) => [5, id])).toEqual(refused);
  });

  it('is followed as given', async () => {
    expect(await changed('/v1/audit', (keys) => keys)).toBe(1);
    expect(await changed('/v1/depots', (keys) => keys)).toBe(1);
  });

  it('is followed from a day before 1950 only in UTC, as in rows of zones east of it', async () => {
    expect(await changed('/v1/audit', ([, id]) => ['1949-12-31T12:00:00.000Z', id])).toBe(0);
  });
});
