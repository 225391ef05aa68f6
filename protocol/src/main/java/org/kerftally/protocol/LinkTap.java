package org.kerftally.protocol;

/**
 * Is told what really passes over a link's wire, below all that the link makes of it: for a record
 * of what a device said and was told, see {@code --trace}.
 *
 * <p>A second client beside the link could not do this unharmed: a broker may end the first one,
 * and a wired device may take a second hand on its strobe for the first.
 *
 * <p>Threading: called by any thread of a link, also by several at once, in the midst of its work.
 * So it must not block and must not throw. Secrets that a link shows are not told: logins are not
 * passed on, only that one was made.
 */
public interface LinkTap {

  /** Listens to nothing. */
  LinkTap NONE =
      new LinkTap() {
        @Override
        public boolean listens() {
          return false;
        }

        @Override
        public void text(Way way, String what, String place, String value) {}

        @Override
        public void bytes(Way way, String what, String place, byte[] payload) {}
      };

  /** Says which way something went. */
  enum Way {
    /** From Kerftally to the device or its broker. */
    TO_DEVICE,
    /** From the device or its broker to Kerftally. */
    FROM_DEVICE
  }

  /** Tells whether there is any use in telling. */
  boolean listens();

  /**
   * Takes something that is text or was made into text.
   *
   * @param what what was done: {@code connect}, {@code read}, {@code write}, {@code call} and so on
   * @param place where: an address, a node
   * @param value what stood there
   */
  void text(Way way, String what, String place, String value);

  /**
   * Takes a message.
   *
   * @param what what was done: {@code publish}, {@code message}
   * @param place where: a topic
   * @param payload the message, never changed afterwards
   */
  void bytes(Way way, String what, String place, byte[] payload);
}
