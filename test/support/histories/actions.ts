import fc from 'fast-check';
import { decideDefect, defectActionArb } from './defects.js';
import {
  BATTERY_INTERVAL,
  change,
  type Fleet,
  postAlone,
  postDefect,
  postFault,
  postJob,
  postUsage,
  taken,
} from './fleet.js';
import { DAY, usageArb, type Way } from './ways.js';
import { aloneArb, changeArb, defectArb, faultArb, jobArb } from './work.js';

/** What people do, in any order. */
export const actionArb = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      do: fc.constant('usage' as const),
      usages: fc.array(usageArb, { minLength: 1, maxLength: 8 }),
    }),
  },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('job' as const), job: jobArb }) },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('alone' as const), alone: aloneArb }) },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('fault' as const), fault: faultArb }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('defect' as const), defect: defectArb }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('decide defect' as const), how: defectActionArb }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('change' as const), change: changeArb }) },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant('plan' as const),
      months: fc.integer({ min: 3, max: 60 }),
      km: fc.integer({ min: 5000, max: 90_000 }),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant('decide' as const),
      which: fc.nat(20),
      how: fc.constantFrom('accept', 'accept as replaced', 'discard', 'void'),
    }),
  },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('void job' as const), which: fc.nat(20) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constant('alert' as const),
      which: fc.nat(5),
      how: fc.constantFrom('acknowledge', 'shelve', 'clear'),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant('postpone' as const),
      which: fc.nat(20),
      days: fc.integer({ min: 1, max: 200 }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant('wait' as const), days: fc.integer({ min: 1, max: 12 }) }),
  },
);
export type Action = typeof actionArb extends fc.Arbitrary<infer T> ? T : never;

export async function act(fleet: Fleet, ways: Way[], action: Action): Promise<void> {
  const { manager, mechanic } = fleet.handle;
  const pick = async (path: string, which: number): Promise<string | undefined> => {
    const { items } = taken(await mechanic.get(path)).body;
    return items[which % Math.max(1, items.length)]?.id;
  };
  switch (action.do) {
    case 'usage':
      return postUsage(fleet, ways, action.usages);
    case 'job':
      return void (await postJob(fleet, ways, action.job));
    case 'alone':
      return void (await postAlone(fleet, ways, action.alone));
    case 'fault':
      return void (await postFault(fleet, action.fault));
    case 'defect':
      return void (await postDefect(fleet, action.defect));
    case 'decide defect':
      return decideDefect(fleet, action.how);
    case 'change':
      return change(fleet, action.change);
    case 'plan': {
      const intervals = [
        { component: 'coolant', action: 'replace', everyMonths: action.months },
        { component: 'drive-belt', action: 'inspect', everyDistance: { value: action.km, unit: 'km' } },
        BATTERY_INTERVAL,
      ];
      return void taken(await manager.patch(`/v1/interval-plans/${fleet.planIds[0]}`, { intervals }));
    }
    case 'decide': {
      const status = action.how === 'void' ? 'accepted' : 'held';
      const id = await pick(`/v1/usage-readings?status=${status}`, action.which);
      if (!id) return;
      if (action.how !== 'accept as replaced')
        return void taken(await manager.post(`/v1/usage-readings/${id}/${action.how}`));
      const answer = await manager.post(`/v1/usage-readings/${id}/accept`, { replaced: true });
      // What is held for its time cannot be accepted so.
      return expect([200, 422]).toContain(answer.status);
    }
    case 'void job': {
      const id = await pick('/v1/job-reports', action.which);
      const { status } = id
        ? await manager.post(`/v1/job-reports/${id}/void`, { reason: 'wrong' })
        : { status: 200 };
      return expect(status).toBe(200);
    }
    case 'alert': {
      const id = await pick('/v1/loss-alerts', action.which);
      const until = new Date(fleet.service.clock.now().getTime() + 5 * DAY).toISOString();
      const body = { shelve: { until }, clear: { note: 'cap replaced' }, acknowledge: {} }[action.how];
      if (id)
        expect([200, 409]).toContain(
          (await manager.post(`/v1/loss-alerts/${id}/${action.how}`, body)).status,
        );
      return;
    }
    case 'postpone': {
      const id = await pick('/v1/due-list?state=late,due,window', action.which);
      const until = new Date(fleet.service.clock.now().getTime() + action.days * DAY)
        .toISOString()
        .slice(0, 10);
      if (id)
        expect([200, 409, 422]).toContain(
          (await manager.post(`/v1/due-list/${id}/postpone`, { until, reason: 'parts ordered' })).status,
        );
      return;
    }
    case 'wait':
      return fleet.service.clock.moveDays(action.days);
  }
}
