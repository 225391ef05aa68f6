package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.JointJobs.Job;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

final class JointJobsTest {

  private static Part part(String name, int mm, int quantity, int priority) {
    return new Part(name, Length.ofMm(mm), quantity, Requests.MATERIAL, priority, null);
  }

  private static CutPlan plan(JointJobs jobs, @Nullable Integer sticks) {
    StockItem item =
        new StockItem(Requests.MATERIAL, Length.ofMm(3000), sticks, null, StickKind.NEW, null);
    PlanRequest request =
        new PlanRequest(jobs.parts(), List.of(item), Map.of(), Requests.rules(0, 0, 0, true));
    return new Planner().plan(request, () -> false);
  }

  /** How many pieces each job gets. */
  private static int[] made(JointJobs jobs, CutPlan plan, int count) {
    int[] made = new int[count];
    for (PlannedSticks sticks : plan.sticks()) {
      for (Cut cut : sticks.cuts()) {
        made[jobs.owner(cut.part()).job()] += sticks.repeat();
      }
    }
    return made;
  }

  private static int[] missing(JointJobs jobs, CutPlan plan, int count) {
    int[] missing = new int[count];
    for (Shortage shortage : plan.shortages()) {
      missing[jobs.owner(shortage.part()).job()] += shortage.missing();
    }
    return missing;
  }

  @Test
  void jobsThatShareSticksNeedFewerOfThem() {
    Job supers = new Job("supers", 1, null, List.of(part("side", 2000, 4, 1)));
    Job frames = new Job("frames", 1, null, List.of(part("bar", 1000, 4, 1)));

    CutPlan together = plan(new JointJobs(List.of(supers, frames)), null);
    int apart =
        plan(new JointJobs(List.of(supers)), null).stickCount()
            + plan(new JointJobs(List.of(frames)), null).stickCount();

    assertThat(together.stickCount()).isEqualTo(4);
    assertThat(apart).isEqualTo(6);
  }

  @Test
  void partsNamedAlikeStayTheirOwnJobs() {
    Job supers = new Job("supers", 1, null, List.of(part("side", 900, 5, 1)));
    Job hives = new Job("hives", 1, null, List.of(part("side", 900, 2, 1), part("lid", 500, 3, 1)));
    JointJobs jobs = new JointJobs(List.of(supers, hives));

    CutPlan plan = plan(jobs, null);

    assertThat(made(jobs, plan, 2)).containsExactly(5, 5);
    assertThat(plan.shortages()).isEmpty();
    assertThat(jobs.owner("1/1").part().name()).isEqualTo("lid");
  }

  /** One piece of the first job outweighs every piece of the second, though they are smaller. */
  @Test
  void theJobOfLowerPriorityStaysShortFirst() {
    Job late = new Job("late", 2, null, List.of(part("bar", 300, 20, 1)));
    Job urgent = new Job("urgent", 1, null, List.of(part("side", 1400, 4, 9)));
    JointJobs jobs = new JointJobs(List.of(late, urgent));

    CutPlan plan = plan(jobs, 2);

    assertThat(missing(jobs, plan, 2)).containsExactly(20, 0);
    assertThat(made(jobs, plan, 2)).containsExactly(0, 4);
  }

  @Test
  void ofEqualPriorityTheJobThatIsDueLaterStaysShortFirst() {
    LocalDate day = LocalDate.of(2027, 3, 1);
    Job whenever = new Job("whenever", 1, null, List.of(part("a", 1000, 3, 1)));
    Job later = new Job("later", 1, day.plusDays(1), List.of(part("b", 1000, 3, 1)));
    Job sooner = new Job("sooner", 1, day, List.of(part("c", 1000, 3, 1)));
    JointJobs jobs = new JointJobs(List.of(whenever, later, sooner));

    assertThat(missing(jobs, plan(jobs, 2), 3)).containsExactly(3, 0, 0);
    assertThat(missing(jobs, plan(jobs, 1), 3)).containsExactly(3, 3, 0);
  }

  @Test
  void togetherIsNeverDearerThanApart() {
    for (int seed = 0; seed < 20; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      List<Job> all = new ArrayList<>();
      int apart = 0;
      for (int j = 0; j < 3; j++) {
        List<Part> parts = new ArrayList<>();
        for (int p = 0; p < 4; p++) {
          parts.add(part("p" + p, random.nextInt(200, 1800), random.nextInt(1, 9), 1));
        }
        Job job = new Job("job " + j, random.nextInt(1, 4), null, parts);
        all.add(job);
        apart += plan(new JointJobs(List.of(job)), null).stickCount();
      }
      JointJobs jobs = new JointJobs(all);

      CutPlan plan = plan(jobs, null);

      assertThat(plan.stickCount()).isLessThanOrEqualTo(apart);
      int[] wanted = new int[3];
      Arrays.setAll(wanted, j -> all.get(j).parts().stream().mapToInt(Part::quantity).sum());
      assertThat(made(jobs, plan, 3)).isEqualTo(wanted);
    }
  }

  @Test
  void aNameThatIsNoKeyIsRefused() {
    assertThatThrownBy(() -> new JointJobs(List.of()).owner("side"))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
