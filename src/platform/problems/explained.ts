import type { Message } from '../../domain/message.js';
import { message } from './explanation-messages.js';
import type { ProblemSlug } from './problem-kinds.js';

/** Returns what a kind of problem means, and what to do about it. */
export function explained(slug: ProblemSlug): { meaning: Message; remedy: Message } {
  return { meaning: message(`problem-${slug}-means`), remedy: message(`problem-${slug}-remedy`) };
}
