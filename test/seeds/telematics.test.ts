import type { Api } from '../../seeds/api.js';
import { type Basis, DEVICES, GRADER, LOADER, snapshotAt } from '../../seeds/telematics/machines.js';
import { addSource, moveSource, openYard } from '../../seeds/telematics/yard.js';
import { readIso15143Json } from '../../src/facts/telematics/documents/iso-15143.js';
import type { Lifetime } from '../../src/startup.js';

const NOW = Date.parse('2026-04-02T18:00:00Z');
const HOUR = 3_600_000;

const read = (now: number, basis: Basis) =>
  readIso15143Json(Buffer.from(JSON.stringify(snapshotAt(now, basis))));

/** Closes what was opened, as the process does at its end. */
function lifetimeHere() {
  const closers: (() => Promise<unknown>)[] = [];
  const lifetime = {
    async opening<T>(opening: Promise<T>, close: (opened: T) => Promise<unknown>): Promise<T> {
      const opened = await opening;
      closers.push(() => close(opened));
      return opened;
    },
  } as Partial<Lifetime> as Lifetime;
  return { lifetime, end: () => Promise.all(closers.map((close) => close())) };
}

/** Stands in for the service: notes what is sent, and answers what a test gives. */
function apiWith(answers: Record<string, unknown>) {
  const sent: [string, string, unknown][] = [];
  const record = (method: string) => async (path: string, body: unknown) => {
    sent.push([method, path, body]);
    return {} as never;
  };
  const get = async (path: string) => answers[path.split('?')[0] as string] as never;
  const api = { get, post: record('POST'), patch: record('PATCH'), attach: record('FILE') } satisfies Api;
  return { sent, api };
}

describe('the machines of the demonstration that report by themselves', () => {
  it('say nothing that the reader of snapshots refuses', async () => {
    const known = new Map([[LOADER.serialNumber, { hours: 5_000, at: NOW - 10 * HOUR }]]);
    const page = await read(NOW, { known, levelLowAt: NOW - HOUR });
    expect(page).toMatchObject({ next: null, refused: [] });
    expect(page.machines.map(({ refused }) => refused)).toEqual([[], [], []]);
    expect(page.machines.map(({ identity }) => identity.serialNumber)).toEqual(
      DEVICES.map(({ serialNumber }) => serialNumber),
    );
    expect(page.machines.map(({ faults }) => faults.map(({ code, at }) => ({ code, at })))).toEqual([
      [{ code: { system: 'j1939', spn: 111, fmi: 1 }, at: NOW - HOUR }],
      [],
      [],
    ]);
  });

  it('go on from what was last known, and never back', async () => {
    const known = new Map([[LOADER.serialNumber, { hours: 5_000, at: NOW - 10 * HOUR }]]);
    const hours = async (now: number) =>
      (await read(now, { known, levelLowAt: null })).machines[0]?.engineHours.map(({ value }) => value);
    // Ten hours of the day and night, 0.17 of them worked.
    expect(await hours(NOW)).toEqual([5_001.7]);
    expect(await hours(NOW - 20 * HOUR)).toEqual([5_000]);
  });

  it('are asked at an address of this machine, once it is known what they go on from', async () => {
    const { lifetime, end } = lifetimeHere();
    const yard = await openYard(lifetime);
    expect(new URL(yard.address).hostname).toBe('127.0.0.1');
    expect((await fetch(yard.address)).status).toBe(503);
    const { api, sent } = apiWith({
      '/v1/vehicles': { items: [{ id: 'w' }] },
      '/v1/vehicles/w/usage': {
        lastReading: {
          readAt: new Date(Date.now() - 30 * HOUR).toISOString(),
          engineHours: { value: 7_000 },
        },
      },
    });
    await addSource(api, yard, Date.now());
    expect(sent).toEqual([
      ['POST', '/v1/telematics-sources', expect.objectContaining({ address: yard.address })],
    ]);
    const page = await readIso15143Json(Buffer.from(await (await fetch(yard.address)).arrayBuffer()));
    expect(page.machines[0]?.engineHours[0]?.value).toBeGreaterThan(7_000);
    await end();
    await expect(fetch(yard.address)).rejects.toThrow('fetch failed');
  });

  it('are asked at the new address after a later start, and not at all if the source was removed', async () => {
    const { lifetime, end } = lifetimeHere();
    const yard = await openYard(lifetime);
    const at = '/v1/telematics-sources';
    const machine = { serialNumber: GRADER.serialNumber, reportedAt: new Date().toISOString() };
    const found = apiWith({
      [at]: { items: [{ id: 's', name: 'Yard machines', paused: false }] },
      [`${at}/s/machines`]: { items: [{ ...machine, engineHours: { value: 9.5 } }] },
    });
    await moveSource(found.api, yard);
    expect(found.sent).toEqual([
      ['PATCH', `${at}/s`, { address: yard.address }],
      ['POST', `${at}/s/poll`, {}],
    ]);
    const page = await readIso15143Json(Buffer.from(await (await fetch(yard.address)).arrayBuffer()));
    expect(page.machines[1]?.engineHours[0]?.value).toBe(9.5);
    const removed = apiWith({ [at]: { items: [{ id: 's', name: 'Another', paused: false }] } });
    await moveSource(removed.api, yard);
    expect(removed.sent).toEqual([]);
    await end();
  });
});
