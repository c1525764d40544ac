import { messages } from '../../domain/message.js';
import { PROBLEM_SLUGS, type ProblemSlug } from './problem-kinds.js';

const NO_VALUES = {} as const;

const EXPLANATIONS = Object.fromEntries(
  PROBLEM_SLUGS.flatMap((slug) => [
    [`problem-${slug}-means`, NO_VALUES],
    [`problem-${slug}-remedy`, NO_VALUES],
  ]),
) as { [Code in `problem-${ProblemSlug}-${'means' | 'remedy'}`]: typeof NO_VALUES };

export const message = messages(EXPLANATIONS);
