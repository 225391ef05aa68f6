package org.kerftally.daemon.planning;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.kerftally.daemon.planning.packing.Pattern;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.Shortage;

/**
 * Hands the names of parts back to packed lengths, and says which parts stay short.
 *
 * <p>Parts of one length are served by priority, then by due date, then in the job's order, each to
 * its end before the next. So sticks cut alike stay together except where one name ends and another
 * begins. Mutable: every call uses up what it names.
 */
final class PartNames {

  private final MaterialModel model;
  private final List<Open> inJobOrder = new ArrayList<>();
  private final List<List<Open>> openByItem = new ArrayList<>();

  private static final class Open {
    final Part part;
    int left;

    Open(Part part) {
      this.part = part;
      this.left = part.quantity();
    }
  }

  /** Sticks cut alike, to the names of their parts. */
  record Named(List<Cut> cuts, int times) {}

  PartNames(MaterialModel model) {
    this.model = model;
    for (int i = 0; i < model.instance().itemCount(); i++) {
      openByItem.add(new ArrayList<>());
    }
    for (Part part : model.parts()) {
      Open open = new Open(part);
      inJobOrder.add(open);
      openByItem.get(model.item(part)).add(open);
    }
    for (List<Open> sameLength : openByItem) {
      sameLength.sort(Comparator.comparing(open -> MaterialModel.Importance.of(open.part)));
    }
  }

  /** Names the pieces of some sticks with one pattern, in as few groups as the names allow. */
  List<Named> name(Pattern pattern, int times) {
    List<Named> groups = new ArrayList<>();
    int left = times;
    while (left > 0) {
      int alike = left;
      for (int n = 0; n < pattern.distinct(); n++) {
        alike = Math.min(alike, alike(pattern.item(n), pattern.count(n)));
      }
      List<Cut> cuts = new ArrayList<>();
      for (int n = 0; n < pattern.distinct(); n++) {
        take(pattern.item(n), pattern.count(n), alike, cuts);
      }
      groups.add(new Named(cuts, alike));
      left -= alike;
    }
    return groups;
  }

  /** How many sticks in a row take the same names for so many pieces of an item, at least 1. */
  private int alike(int item, int count) {
    return Math.max(1, first(item).left / count);
  }

  private void take(int item, int count, int sticks, List<Cut> cuts) {
    for (int n = 0; n < count; n++) {
      Open open = first(item);
      open.left -= sticks;
      cuts.add(new Cut(open.part.name(), open.part.length()));
    }
  }

  private Open first(int item) {
    for (Open open : openByItem.get(item)) {
      if (open.left > 0) {
        return open;
      }
    }
    throw new IllegalStateException("more packed than wanted of " + model.length(item));
  }

  /** Lists what was never named, in the job's order. */
  List<Shortage> missing() {
    List<Shortage> missing = new ArrayList<>();
    for (Open open : inJobOrder) {
      Part part = open.part;
      if (open.left > 0) {
        missing.add(new Shortage(part.name(), part.material(), part.length(), open.left));
      }
    }
    return missing;
  }
}
