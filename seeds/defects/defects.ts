import type { Api } from '../api.js';
import { instantOf } from '../calendar.js';
import { countersAt } from '../jobs.js';
import { type Vehicle, workdayUpTo } from '../vehicles.js';
import { puddle } from './photo.js';

/**
 * What drivers reported: a leak with a photo, which nobody has looked at yet, and a noise that a
 * mechanic found to be nothing.
 */
export async function reportDefects(
  driver: Api,
  mechanic: Api,
  vehicles: readonly Vehicle[],
  today: number,
): Promise<void> {
  const report = async (unitNumber: string, daysAgo: number, said: object): Promise<string> => {
    const vehicle = vehicles.find((one) => one.unitNumber === unitNumber);
    if (!vehicle) throw new Error(`there is no vehicle ${unitNumber}`);
    const day = workdayUpTo(today - daysAgo);
    const { id } = await driver.post<{ id: string }>('/v1/defects', {
      ...{
        unitNumber,
        source: 'driver',
        reportedAt: instantOf(day, 15, 20),
        ...countersAt(vehicle, day, 0.8),
      },
      ...said,
    });
    return id;
  };
  const leak = await report('CV-209', 1, {
    reportedBy: 'badge 52',
    what: 'Green puddle under the front after the lunch break, and it smells sweet. Gauge was normal.',
    component: 'coolant',
  });
  await driver.attach(`/v1/defects/${leak}/attachments`, puddle(), 'image/png');
  const noise = await report('PU-105', 6, {
    reportedBy: 'badge 47',
    what: 'Belt squeals for half a minute after a cold start in the rain.',
    component: 'drive-belt',
  });
  await mechanic.post(`/v1/defects/${noise}/dismiss`, {
    decidedBy: 'badge 14',
    reason:
      'Belt, tensioner and pulleys checked: dry, in line, within the wear gauge. Spray on the belt only.',
  });
}
