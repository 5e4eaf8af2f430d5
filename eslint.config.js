import tseslint from 'typescript-eslint';

const TIME_AND_CHANCE = [
  { object: 'Date', property: 'now', message: 'Time comes in as an argument or from the injected clock.' },
  { object: 'Math', property: 'random', message: 'Chance comes in as an argument.' },
];

export default tseslint.config(
  { ignores: ['dist/', 'node_modules/', 'tests/output/', '*.config.js', '**/*.js', '*.config.ts', '.dependency-cruiser.cjs', 'dashboard/vite.config.ts'] },
  ...tseslint.configs.recommendedTypeChecked,
  {
    languageOptions: {
      parserOptions: { project: ['./tsconfig.json', './dashboard/tsconfig.json', './dashboard/worker/tsconfig.json'], tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true, allowBoolean: true }],
      '@typescript-eslint/require-await': 'off',
      'max-lines': ['error', { max: 400 }],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      // Our interfaces declare functions with method syntax; they are closures and have no `this`.
      '@typescript-eslint/unbound-method': 'off',
      '@typescript-eslint/no-unsafe-unary-minus': 'off',
      'no-restricted-syntax': ['error', { selector: 'ExportAllDeclaration', message: 'No barrels: import the file that owns the thing.' }],
    },
  },
  {
    files: ['domain/**/*.ts'],
    rules: {
      'no-restricted-properties': ['error', ...TIME_AND_CHANCE, { object: 'performance', property: 'now', message: 'domain has no clock.' }],
      'no-restricted-globals': ['error', 'process', 'setTimeout', 'setInterval', 'setImmediate', 'fetch', 'console'],
    },
  },
  {
    files: ['gateway/**/*.ts', 'server/**/*.ts', 'simulator/**/*.ts'],
    rules: { 'no-restricted-properties': ['error', TIME_AND_CHANCE[0]] },
  },
  // What the API answered is read as a client would: its shape is what the tests are about.
  { files: ['tests/**/*.ts', 'tests/**/*.tsx'], rules: { '@typescript-eslint/no-explicit-any': 'off', '@typescript-eslint/no-floating-promises': 'error', '@typescript-eslint/no-unsafe-member-access': 'off', '@typescript-eslint/no-unsafe-assignment': 'off', '@typescript-eslint/no-unsafe-argument': 'off', '@typescript-eslint/no-unsafe-call': 'off', '@typescript-eslint/no-unsafe-return': 'off' } },
);
