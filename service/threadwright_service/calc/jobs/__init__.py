"""A whole job: what joins the plan of a thread with the times of a part and a lot."""
