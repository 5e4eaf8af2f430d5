/** The same keys with words of any language: sentences with values are functions, and keep their values. */
export type InAnyLanguage<T> = T extends (...given: infer Given) => string
  ? (...given: Given) => string
  : T extends string
    ? string
    : T extends readonly string[]
      ? readonly string[]
      : { readonly [Key in keyof T]: InAnyLanguage<T[Key]> };
