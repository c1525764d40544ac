import { MS_PER_DAY } from '../calendar/zone.js';
import type { Message } from '../message.js';
import { type CounterLimits, counterTold, KM_PER_MILE } from './counter-limits.js';
import { type CounterEntry, type Judgement, slipFactor } from './judge-usage-reading.js';
import { message } from './messages.js';
import type { CounterCore } from './types.js';

/**
 * Why a reading is held, and what can be done about it.
 *
 * @param core the history it was judged by (as before the reading).
 * @example heldDetail(ODOMETER_LIMITS, core, entry, judgement).code // 'usage-went-back'
 */
export function heldDetail(
  limits: CounterLimits,
  core: CounterCore,
  entry: CounterEntry,
  judgement: Judgement,
): Message {
  const head = core.head!;
  const beforeValue = head.life - (judgement.life - entry.raw);
  const before = {
    before: counterTold(limits, beforeValue),
    days: toTenths((entry.at - head.at) / MS_PER_DAY),
    source: message(`usage-source-${head.source}`),
  };
  if (judgement.reason === 'unit-slip') {
    const isTooFew = slipFactor(limits, core, entry, judgement.life) === KM_PER_MILE;
    const figure = toTenths(isTooFew ? entry.raw : entry.raw / KM_PER_MILE);
    return message('usage-unit-slip', { figure, meant: isTooFew ? 'mi' : 'km', ...before });
  }
  const { counter } = limits;
  const isDevice = entry.source === 'telematics';
  const shown = counterTold(limits, entry.raw);
  if (judgement.reason === 'went-back') {
    const less = counterTold(limits, beforeValue - entry.raw);
    return message(isDevice ? 'usage-device-went-back' : 'usage-went-back', {
      ...{ counter, shown, less, ...before },
    });
  }
  const more = counterTold(limits, entry.raw - beforeValue);
  const most = counterTold(limits, limits.perDay, 'down');
  return message(isDevice ? 'usage-device-too-fast' : 'usage-too-fast', {
    ...{ counter, shown, more, ...before, most },
  });
}

function toTenths(value: number): number {
  return Number(value.toFixed(1));
}
