import type { components } from './api.js';

export type Problem = components['schemas']['Problem'];

/** The service, or something in front of it, refused the request. */
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
 * The service did not answer: there was no connection, it broke, it timed out, or something else
 * answered instead. The request may or may not have been carried out.
 */
export class NoAnswerError extends Error {
  override readonly name = 'NoAnswerError';
}

/**
 * Reads the problem of an error response. Where there is no problem document, as on a proxy's error
 * page, makes one from the status.
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
