/** A sleep that somebody else may end. */
export class Pause {
  #end: (() => void) | null = null;

  /** Until `end` is called, or for `ms` where that is given. */
  sleep(ms: number | null): Promise<void> {
    return new Promise((resolve) => {
      const timer = ms === null ? null : setTimeout(() => this.end(), ms);
      this.#end = () => {
        if (timer) clearTimeout(timer);
        this.#end = null;
        resolve();
      };
    });
  }

  end(): void {
    this.#end?.();
  }
}
