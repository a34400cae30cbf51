/** The last few answers by their question: whoever asks the same again, or meanwhile, gets the same. A failure is not kept. */
export class KeptAnswers<Answer> {
  readonly #most: number;
  /** The newest last. */
  readonly #kept = new Map<string, Promise<Answer>>();

  constructor(most: number) {
    this.#most = most;
  }

  of(question: string, compute: () => Promise<Answer>): Promise<Answer> {
    const kept = this.#kept.get(question);
    if (kept !== undefined) return kept;
    const answer = compute();
    this.#kept.set(question, answer);
    for (const old of [...this.#kept.keys()].slice(0, -this.#most)) this.#kept.delete(old);
    answer.catch(() => {
      if (this.#kept.get(question) === answer) this.#kept.delete(question);
    });
    return answer;
  }
}
