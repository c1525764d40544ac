import type { components } from './api.js';

export type Problem = components['schemas']['Problem'];

/** The service, or something before it, answered that it will not. */
export class ProblemError extends Error {
  override readonly name = 'ProblemError';

  constructor(
    readonly problem: Problem,
    readonly headers: Headers,
  ) {
    super(`${problem.status} ${problem.title}: ${problem.detail}`);
  }

  get status(): number {
    return this.problem.status;
  }
}

/**
 * No answer of the service came: there was no connection, it broke, it took too long, or something
 * else answered in its place. Whether the request was carried out is not known.
 */
export class NoAnswerError extends Error {
  override readonly name = 'NoAnswerError';
}

/**
 * What a refusal says; where it is no problem document, as a proxy's page is none, one is made of
 * its status.
 */
export async function problemOf(response: Response): Promise<ProblemError> {
  const text = await response.text();
  if (/\bproblem\+json\b/.test(response.headers.get('content-type') ?? '')) {
    try {
      return new ProblemError(JSON.parse(text) as Problem, response.headers);
    } catch (cause) {
      throw new NoAnswerError('the problem in the answer cannot be read', { cause });
    }
  }
  const made: Problem = {
    type: 'about:blank',
    title: response.statusText || 'Refused',
    status: response.status,
    detail: text.slice(0, 500) || 'The answer says no more.',
    instance: new URL(response.url).pathname,
  };
  return new ProblemError(made, response.headers);
}
