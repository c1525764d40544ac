interface Asker<Ask, Answer> {
  ask: Ask;
  resolve: (answer: Answer) => void;
  reject: (error: unknown) => void;
}

export interface BatcherOptions {
  /** Maximum number of batches in progress at the same time. */
  concurrency: number;
  /** Maximum number of questions in a batch. */
  size: number;
  /**
   * How long a batch waits for more questions. Default: until the current turn of the event loop
   * ends.
   */
  waitMs?: number;
  /**
   * Whether a single question may have made its batch fail. If so, each question is asked again on
   * its own, so a failed batch must leave nothing behind. Default: no failure is due to one
   * question.
   */
  isDueToOne?: (error: unknown) => boolean;
  /** Called when the last batch has ended. */
  onIdle?: () => void;
}

/**
 * Asks questions that arrive at about the same time as one batch. While `concurrency` batches are
 * in progress, new questions wait and share the next batch. Many questions therefore take few
 * statements, and a single one does not wait. An answer is never older than its question.
 */
export class Batcher<Ask, Answer> {
  private waiting: Asker<Ask, Answer>[] = [];
  private running = 0;

  /** @param answerAll returns the answers in the order of the questions */
  constructor(
    private readonly answerAll: (asks: Ask[]) => Promise<Answer[]>,
    private readonly options: BatcherOptions,
  ) {}

  ask(ask: Ask): Promise<Answer> {
    return new Promise((resolve, reject) => {
      this.waiting.push({ ask, resolve, reject });
      if (this.running < this.options.concurrency) void this.run();
    });
  }

  private async run(): Promise<void> {
    this.running++;
    await this.waitForMore();
    for (let batch = this.nextBatch(); batch.length > 0; batch = this.nextBatch()) {
      await this.answer(batch);
      if (this.options.waitMs !== undefined && this.waiting.length > 0) await this.waitForMore();
    }
    this.running--;
    if (this.running === 0) this.options.onIdle?.();
  }

  private waitForMore(): Promise<void> {
    const { waitMs } = this.options;
    return new Promise((resolve) =>
      waitMs === undefined ? setImmediate(resolve) : setTimeout(resolve, waitMs),
    );
  }

  private nextBatch(): Asker<Ask, Answer>[] {
    return this.waiting.splice(0, this.options.size);
  }

  private async answer(batch: Asker<Ask, Answer>[]): Promise<void> {
    try {
      const answers = await this.answerAll(batch.map(({ ask }) => ask));
      if (answers.length !== batch.length)
        throw new Error(`${batch.length} questions got ${answers.length} answers`);
      for (const [index, { resolve }] of batch.entries()) resolve(answers[index] as Answer);
    } catch (error) {
      if (batch.length > 1 && this.options.isDueToOne?.(error))
        await Promise.all(batch.map((asker) => this.answer([asker])));
      else for (const { reject } of batch) reject(error);
    }
  }
}

/** A batcher for each key: only questions with the same key share a batch. */
export class BatcherByKey<Ask, Answer> {
  private readonly batchers = new Map<string, Batcher<Ask, Answer>>();

  constructor(
    private readonly answerAll: (key: string, asks: Ask[]) => Promise<Answer[]>,
    private readonly options: BatcherOptions,
  ) {}

  /** How many keys have unanswered questions. */
  get size(): number {
    return this.batchers.size;
  }

  ask(key: string, ask: Ask): Promise<Answer> {
    let batcher = this.batchers.get(key);
    if (!batcher) {
      const onIdle = (): void => void this.batchers.delete(key);
      batcher = new Batcher((asks) => this.answerAll(key, asks), { ...this.options, onIdle });
      this.batchers.set(key, batcher);
    }
    return batcher.ask(ask);
  }
}
