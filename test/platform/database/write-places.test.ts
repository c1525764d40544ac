import { AsyncLocalStorage } from 'node:async_hooks';
import { EventEmitter } from 'node:events';
import { type WriteLimits, writeLimits, WritePlaces } from '../../../src/platform/database/write-places.js';

const LIMITS: WriteLimits = {
  ...{ all: 5, ofFleet: 3, ofVehicle: 2, waitingOfFleet: 6, waitingOfVehicle: 4 },
  ...{ patienceMs: 60_000, lockPatienceMs: 60_000 },
};

/** A caller that is still connected. */
const someone = (): EventEmitter & { destroyed: boolean } =>
  Object.assign(new EventEmitter(), { destroyed: false });

/** A write that keeps its place until it is told to end. */
interface Write {
  end: () => void;
  done: Promise<unknown>;
}

describe('places for writes', () => {
  let places: WritePlaces;
  let begun: string[];

  beforeEach(() => {
    places = new WritePlaces({ ...LIMITS });
    begun = [];
  });
  // Waiting writes would keep the process alive.
  afterEach(() => places.beforeApplicationShutdown());

  function write(name: string, fleetId: string, vehicleId: string | null, caller?: EventEmitter): Write {
    let end = (): void => undefined;
    const held = new Promise<void>((resolve) => (end = resolve));
    const writer = { fleetId, vehicleId, caller: caller as ReturnType<typeof someone> | undefined };
    const done = places.taking(writer, () => {
      begun.push(name);
      return held;
    });
    const settled = done.then(
      () => 'done',
      (error: unknown) => error,
    );
    return { end, done: settled };
  }

  /** Resolves when everything that was started has gone as far as it can. */
  const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

  it.each([
    [2, { all: 1, ofFleet: 1, ofVehicle: 1 }],
    [3, { all: 2, ofFleet: 1, ofVehicle: 1 }],
    [12, { all: 9, ofFleet: 2, ofVehicle: 1 }],
    [13, { all: 10, ofFleet: 3, ofVehicle: 2 }],
    [500, { all: 375, ofFleet: 84, ofVehicle: 2 }],
  ])('leave some of %i connections for reads', (connections, limits) => {
    expect(writeLimits(connections)).toMatchObject(limits);
  });

  it('are given at once while any are free', async () => {
    const first = write('first', 'a', 'x');
    expect(begun).toEqual(['first']);
    first.end();
    expect(await first.done).toBe('done');
    expect([places.holding, places.waiting]).toEqual([0, 0]);
  });

  it('go to two writes of one vehicle, and meanwhile to the next write of another vehicle', async () => {
    const [first] = ['x1', 'x2', 'x3', 'x4'].map((name) => write(name, 'a', 'x')) as [Write];
    write('y1', 'a', 'y');
    expect([begun, places.waiting]).toEqual([['x1', 'x2', 'y1'], 2]);
    first.end();
    await settled();
    expect([begun, places.waiting]).toEqual([['x1', 'x2', 'y1', 'x3'], 1]);
  });

  it('go to at most three writes of a fleet, whatever they are about, and leave the others to other fleets', async () => {
    const writes = ['1', '2', '3', '4', '5'].map((name) => write(name, 'a', null));
    const other = write('b1', 'b', 'z');
    expect([begun, places.holding]).toEqual([['1', '2', '3', 'b1'], 4]);
    other.end();
    await settled();
    expect(begun).toHaveLength(4);
    for (const { end } of writes) {
      end();
      await settled();
    }
    expect(begun).toEqual(['1', '2', '3', 'b1', '4', '5']);
    expect([places.holding, places.waiting]).toEqual([0, 0]);
  });

  it('go from fleet to fleet when all are taken, so a busy one does not keep out the rest', async () => {
    const writes = new Map<string, Write>();
    for (const fleet of ['a', 'b'])
      for (let n = 1; n <= 6; n++) writes.set(`${fleet}${n}`, write(`${fleet}${n}`, fleet, null));
    expect(begun).toEqual(['a1', 'a2', 'a3', 'b1', 'b2']);
    writes.set('c1', write('c1', 'c', 'z'));
    writes.set('c2', write('c2', 'c', 'z'));
    for (let turn = 0; turn < 6; turn++) {
      writes.get(begun[turn] as string)?.end();
      await settled();
    }
    // A free place goes to a fleet that has none, then to the fleet whose last turn is longest ago.
    expect(begun.slice(5).map(([fleet]) => fleet)).toEqual(['c', 'a', 'b', 'c', 'a', 'b']);
  });

  it('are returned by work that fails, even before it begins to wait', async () => {
    const fail = async (): Promise<never> => {
      throw new Error('no');
    };
    const writer = { fleetId: 'a', vehicleId: 'x', caller: undefined };
    await expect(places.taking(writer, fail)).rejects.toThrow('no');
    expect(places.holding).toBe(0);
    write('next', 'a', 'x');
    expect(begun).toEqual(['next']);
  });

  it('leave each write in the context of its caller', async () => {
    const context = new AsyncLocalStorage<string>();
    const seen: [string, string | undefined][] = [];
    const inContext = (name: string): Promise<void> =>
      context.run(name, () =>
        places.taking({ fleetId: name, vehicleId: null, caller: undefined }, async () => {
          await settled();
          seen.push([name, context.getStore()]);
        }),
      );
    const names = Array.from({ length: 20 }, (_, n) => `fleet ${n % 7}`);
    await Promise.all(names.map(inContext));
    expect(seen).toHaveLength(20);
    for (const [name, found] of seen) expect(found).toBe(name);
  });

  it('are refused to a request when the queue is full, with when to come again', async () => {
    for (let n = 0; n < 2 + 4; n++) write(`x${n}`, 'a', 'x', someone());
    const { done } = write('one too many', 'a', 'x', someone());
    expect(await done).toMatchObject({
      status: 503,
      slug: 'too-busy',
      title: { code: 'title-too-busy' },
      detail: { code: 'writes-of-vehicle-waiting', values: { present: 4, seconds: 5 } },
      message: expect.stringMatching(
        /^4 writes about this vehicle are already waiting\. Nothing .* stored\. Send it again after 5 s/,
      ),
      headers: { 'retry-after': '5' },
      members: { limit: 4, present: 4 },
    });
    for (let n = 0; n < 3; n++) write(`y${n}`, 'a', 'y', someone());
    const another = write('one too many of the fleet', 'a', 'z', someone());
    expect(await another.done).toMatchObject({
      message: expect.stringMatching(/^6 writes of this fleet are already waiting\./),
      members: { limit: 6, present: 6 },
    });
    write('another fleet', 'b', 'z', someone());
    expect(begun).toContain('another fleet');
    expect(places.refused).toEqual({ full: 2, late: 0, gone: 0 });
  });

  it('keep a request waiting up to its limit, and a job as long as necessary', async () => {
    Object.assign(places.limits, { patienceMs: 20 });
    const [first] = ['1', '2'].map((name) => write(name, 'a', 'x')) as [Write];
    const job = write('job', 'a', 'x');
    const request = write('request', 'a', 'x', someone());
    expect(await request.done).toMatchObject({ status: 503, slug: 'too-busy' });
    expect([places.refused.late, places.waiting, begun]).toEqual([1, 1, ['1', '2']]);
    first.end();
    await settled();
    expect(begun).toEqual(['1', '2', 'job']);
    job.end();
  });

  it('are not kept for a caller that has left', async () => {
    const [first, second] = ['1', '2'].map((name) => write(name, 'a', 'x')) as [Write, Write];
    const caller = someone();
    const left = write('left', 'a', 'x', caller);
    const stayed = write('stayed', 'a', 'x', someone());
    caller.emit('close');
    expect(await left.done).toMatchObject({ status: 499, slug: 'caller-gone' });
    const before = write('left before', 'a', 'x', Object.assign(someone(), { destroyed: true }));
    expect(await before.done).toMatchObject({ status: 499 });
    first.end();
    await settled();
    expect(begun).toEqual(['1', '2', 'stayed']);
    for (const each of [second, stayed]) each.end();
    await settled();
    expect([places.holding, places.waiting, places.refused.gone]).toEqual([0, 0, 2]);
    expect(caller.listenerCount('close')).toBe(0);
  });

  it('keep no request waiting when the process ends', async () => {
    const [first] = ['1', '2'].map((name) => write(name, 'a', 'x')) as [Write];
    const job = write('job', 'a', 'x');
    const request = write('request', 'a', 'x', someone());
    places.beforeApplicationShutdown();
    expect(await request.done).toMatchObject({
      status: 503,
      slug: 'ending',
      headers: { 'retry-after': '5', connection: 'close' },
    });
    first.end();
    await settled();
    expect(begun).toEqual(['1', '2', 'job']);
    job.end();
  });
});
