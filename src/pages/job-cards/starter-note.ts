import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import type { Message } from '../../domain/message.js';
import type { DueLineView } from '../../conclusions/due-list/due-line-view.js';

/** Says once on the card that intervals behind its lines are ready-made. */
export function withStarterIntervals<Content extends { missing: Message[]; basis: Message[] }>(
  content: Content,
  standing: readonly DueLineView[],
): Content {
  if (standing.every(({ basis }) => basis.length === 0)) return content;
  const { missing, basis } = content;
  return { ...content, missing: [STARTER_INTERVAL, ...missing], basis: [STARTER_INTERVAL, ...basis] };
}
