/** Reading `localStorage` itself throws where a person has forbidden it. */
export function openStorage(): Storage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}
