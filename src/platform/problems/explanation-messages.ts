import { messages } from '../../domain/message.js';
import { PROBLEM_SLUGS, type ProblemSlug } from './problem-kinds.js';

const EXPLANATIONS = Object.fromEntries(
  PROBLEM_SLUGS.flatMap((slug) => [
    [`problem-${slug}-means`, {}],
    [`problem-${slug}-remedy`, {}],
  ]),
) as { [Code in `problem-${ProblemSlug}-${'means' | 'remedy'}`]: Record<never, never> };

export const message = messages(EXPLANATIONS);
