import { expect, it } from 'vitest';
import { atPointer } from '../../gateway/decode/json-pointer.ts';

// RFC 6901, section 5: the document and the results given there.
const DOCUMENT = { foo: ['bar', 'baz'], '': 0, 'a/b': 1, 'c%d': 2, 'e^f': 3, 'g|h': 4, 'i\\j': 5, 'k"l': 6, ' ': 7, 'm~n': 8 };

it.each<[string, unknown]>([
  ['', DOCUMENT],
  ['/foo', ['bar', 'baz']],
  ['/foo/0', 'bar'],
  ['/', 0],
  ['/a~1b', 1],
  ['/c%d', 2],
  ['/e^f', 3],
  ['/g|h', 4],
  ['/i\\j', 5],
  ['/k"l', 6],
  ['/ ', 7],
  ['/m~0n', 8],
])('%j', (pointer, expected) => {
  expect(atPointer(DOCUMENT, pointer)).toEqual(expected);
});

it('finds nothing that is not there, nor anything inherited', () => {
  for (const pointer of ['/nope', '/foo/2', '/foo/length', '/foo/-', '/constructor', '/__proto__', '/foo/0/x']) expect(atPointer(DOCUMENT, pointer)).toBeUndefined();
});
