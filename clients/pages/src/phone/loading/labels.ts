import { NoAnswerError, ProblemError } from '../../../../typescript/src/client.js';
import { service } from '../../kit/service/session.js';
import { keepAnswer, keptAnswer } from '../store/kept-answers.js';

/** Labels of the person's depots that are kept for a time without a network: five pages. */
const MOST_KEPT = 1000;
const PAGE = 200;
const KEPT_AS = 'labels';

/** The vehicle of each code. */
type KeptLabels = Record<string, string>;

export type FoundByLabel = { is: 'found'; vehicleId: string } | { is: 'unknown' } | { is: 'not-kept' };

/**
 * Finds the vehicle of a label. A label that was kept leads to its vehicle at once: what is printed
 * on a vehicle does not move to another.
 */
export async function vehicleOfLabel(who: string, code: string): Promise<FoundByLabel> {
  const kept = (await keptAnswer<KeptLabels>(who, KEPT_AS))?.[code];
  if (kept !== undefined) return { is: 'found', vehicleId: kept };
  if (!navigator.onLine) return { is: 'not-kept' };
  try {
    const { data } = await service().get('/v1/vehicle-labels/{code}', { path: { code } });
    return { is: 'found', vehicleId: data.vehicleId };
  } catch (fault) {
    if (fault instanceof ProblemError && fault.status === 404) return { is: 'unknown' };
    if (fault instanceof NoAnswerError) return { is: 'not-kept' };
    throw fault;
  }
}

/** Keeps the labels of the person's depots for a time without a network. */
export async function keepLabels(who: string): Promise<void> {
  const kept: KeptLabels = {};
  let cursor: string | undefined;
  do {
    const { data } = await service().get('/v1/vehicle-labels', {
      query: { limit: String(PAGE), format: 'json', ...(cursor === undefined ? {} : { cursor }) },
    });
    for (const { address, vehicleId } of data.items) kept[address.slice(-CODE_LENGTH)] = vehicleId;
    cursor = data.next ?? undefined;
  } while (cursor !== undefined && Object.keys(kept).length < MOST_KEPT);
  await keepAnswer(who, KEPT_AS, kept);
}

const CODE_LENGTH = 43;
