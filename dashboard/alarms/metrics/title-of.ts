/** An alarm by its rule's name: with the title it bears where it stands, else with the name's own words. */
export function titleOf(name: string, known: readonly { readonly name: string; readonly title: string }[]): string {
  const words = name.replaceAll('-', ' ').replace(/\bco\b/, 'CO');
  return known.find((alarm) => alarm.name === name)?.title ?? words.charAt(0).toUpperCase() + words.slice(1);
}
