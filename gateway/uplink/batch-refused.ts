/** The server says that a batch is not well-formed: sent again as it is, it would be refused again. */
export class BatchRefused extends Error {}
