interface Asker<Ask, Answer> {
  ask: Ask;
  resolve: (answer: Answer) => void;
  reject: (error: unknown) => void;
}

export interface GatheringOptions {
  /** Rounds of questions that may be under way at a time. */
  underWay: number;
  /** Questions in one round. */
  atOnce: number;
  /** How long a round waits for others to come, in milliseconds. Left out: for those who ask in the same turn of the event loop. */
  forMs?: number;
  /**
   * Whether what a round failed with may be due to one of its questions: each is then asked by itself, so a round that fails must have done nothing.
   * Left out: it never may.
   */
  mayBeOnesFault?: (error: unknown) => boolean;
  /** Told when nothing is asked any more. */
  onIdle?: () => void;
}

/**
 * Asks questions together that come at about the same time. Who asks while as many rounds are under way as may be waits for one to end and shares the
 * next, so that many who ask take few statements, and one who asks alone waits for nobody. The answer is always as of after the asking.
 */
export class Gathering<Ask, Answer> {
  private waiting: Asker<Ask, Answer>[] = [];
  private underWay = 0;

  /** @param answerAll gives the answers in the order of the questions */
  constructor(
    private readonly answerAll: (asks: Ask[]) => Promise<Answer[]>,
    private readonly options: GatheringOptions,
  ) {}

  ask(ask: Ask): Promise<Answer> {
    return new Promise((resolve, reject) => {
      this.waiting.push({ ask, resolve, reject });
      if (this.underWay < this.options.underWay) void this.askOn();
    });
  }

  private async askOn(): Promise<void> {
    this.underWay++;
    await this.forOthers();
    for (let askers = this.next(); askers.length > 0; askers = this.next()) {
      await this.answer(askers);
      if (this.options.forMs !== undefined && this.waiting.length > 0) await this.forOthers();
    }
    this.underWay--;
    if (this.underWay === 0) this.options.onIdle?.();
  }

  private forOthers(): Promise<void> {
    const { forMs } = this.options;
    return new Promise((resolve) =>
      forMs === undefined ? setImmediate(resolve) : setTimeout(resolve, forMs),
    );
  }

  private next(): Asker<Ask, Answer>[] {
    return this.waiting.splice(0, this.options.atOnce);
  }

  private async answer(askers: Asker<Ask, Answer>[]): Promise<void> {
    try {
      const answers = await this.answerAll(askers.map(({ ask }) => ask));
      if (answers.length !== askers.length)
        throw new Error(`${answers.length} answers were given to ${askers.length} questions`);
      for (const [index, { resolve }] of askers.entries()) resolve(answers[index] as Answer);
    } catch (error) {
      if (askers.length > 1 && this.options.mayBeOnesFault?.(error))
        await Promise.all(askers.map((asker) => this.answer([asker])));
      else for (const { reject } of askers) reject(error);
    }
  }
}

/** As `Gathering`, for questions of which only those with the same key can be asked together. */
export class GatheringByKey<Ask, Answer> {
  private readonly gatherings = new Map<string, Gathering<Ask, Answer>>();

  constructor(
    private readonly answerAll: (key: string, asks: Ask[]) => Promise<Answer[]>,
    private readonly options: GatheringOptions,
  ) {}

  /** Of how many keys something is asked. */
  get size(): number {
    return this.gatherings.size;
  }

  ask(key: string, ask: Ask): Promise<Answer> {
    let gathering = this.gatherings.get(key);
    if (!gathering) {
      const onIdle = (): void => void this.gatherings.delete(key);
      gathering = new Gathering((asks) => this.answerAll(key, asks), { ...this.options, onIdle });
      this.gatherings.set(key, gathering);
    }
    return gathering.ask(ask);
  }
}
